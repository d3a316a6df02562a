import { assertNever } from '../../assert-never.ts';
import type {
  Checkpoint,
  ComparedTrial,
  Comparison,
  Contender,
  Ratio,
  Side,
  Verdict,
} from '../comparison-model.ts';
import type { ComparedStep } from '../trial-measure.ts';
import { formatDuration, formatNumber, THIN_SPACE } from '../../format-quantity.ts';
import { directionNames, kindNames } from '../../trial/words/pull-words.ts';
import type { MeasureDisplay } from './measure-choices.ts';

/** How A and B are called where there is little room. */
export interface SideNames {
  readonly a: string;
  readonly b: string;
}

/**
 * What tells the two apart: the tool, and whatever of pack, setting and socket the other does not have too. Two that still read
 * alike are told apart by their letter.
 */
export function sideNames(a: Contender, b: Contender): SideNames {
  const [partsA, partsB] = [partsOf(a), partsOf(b)];
  const own = (parts: readonly string[], others: readonly string[]) =>
    parts.filter((part, index) => index === 0 || !others.includes(part)).join(', ');
  const names = { a: own(partsA, partsB), b: own(partsB, partsA) };
  return names.a === names.b ? { a: `${names.a} (A)`, b: `${names.b} (B)` } : names;
}

/** The tool, and then the parts of its label; a name may itself have a comma. */
function partsOf({ toolName, label }: Contender): string[] {
  if (!label.startsWith(toolName)) return [label];
  return [toolName, ...label.slice(toolName.length).split(', ')].filter((part) => part !== '');
}

/** A sentence of the comparison with the short names, where the whole labels stand beside it. */
export function withShortNames(
  sentence: string,
  { a, b }: { readonly a: Contender; readonly b: Contender },
  names: SideNames,
): string {
  // The longer label first: one may begin with the other.
  return [
    { label: a.label, name: names.a },
    { label: b.label, name: names.b },
  ]
    .sort((p, q) => q.label.length - p.label.length)
    .reduce((text, { label, name }) => text.replaceAll(label, name), sentence);
}

/** For the middle of a sentence, with the capitals of units left as they are. */
export function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

/** "Tighten, forward, 5 s" */
export function stepName({ kind, direction, plannedS }: ComparedStep): string {
  const time = formatDuration(plannedS, plannedS % 1 === 0 ? 0 : 1);
  return `${kindNames[kind]}, ${directionNames[direction].toLowerCase()}, ${time}`;
}

/** What a verdict looks like beside its word; a shape for each way it can go, since no colour says it. */
export type VerdictShapeName = 'ahead' | 'behind' | 'farAhead' | 'farBehind' | 'level' | 'open' | 'waiting';

export function verdictWords(
  verdict: Verdict,
  marginPercent: number,
): { readonly word: string; readonly shape: VerdictShapeName } {
  const margin = percentWords(marginPercent);
  switch (verdict) {
    case 'aheadByMargin':
      return { word: `A ahead by at least ${margin}`, shape: 'farAhead' };
    case 'ahead':
      return { word: 'A ahead', shape: 'ahead' };
    case 'behindByMargin':
      return { word: `B ahead by at least ${margin}`, shape: 'farBehind' };
    case 'behind':
      return { word: 'B ahead', shape: 'behind' };
    case 'level':
      return { word: `Level within ${margin}`, shape: 'level' };
    case 'tooCloseToCall':
      return { word: 'Too close to call', shape: 'open' };
    case 'needsMoreRuns':
      return { word: 'Needs more runs', shape: 'waiting' };
    default:
      return assertNever(verdict, 'This verdict has no words');
  }
}

/** "5 %", with a decimal only where there is one. */
export function percentWords(percent: number): string {
  return `${formatNumber(percent, percent % 1 === 0 ? 0 : 1)}${THIN_SPACE}%`;
}

/** By how much a ratio is more or less than one: "+4.2 %". */
export function ratioPercent(ratio: number): string {
  const percent = (ratio - 1) * 100;
  const text = formatNumber(percent, 1);
  return `${percent > 0 && text !== '0.0' ? '+' : ''}${text}${THIN_SPACE}%`;
}

/** "+4.2 % (+1.2 % to +7.3 %)" */
export function ratioWords({ ratio, low, high }: Ratio): string {
  return `${ratioPercent(ratio)} (${ratioPercent(low)} to ${ratioPercent(high)})`;
}

export function differenceWords(
  { value, low, high }: NonNullable<Comparison['difference']>,
  display: MeasureDisplay,
): string {
  const signed = (number: number) => `${number > 0 ? '+' : ''}${display.formatNumber(number)}`;
  return `${signed(value)}${THIN_SPACE}${display.unitLabel} (${signed(low)} to ${signed(high)})`;
}

/** "95 %", "97.5 %" */
export function confidenceWords(confidence: number): string {
  return percentWords(Math.round(confidence * 1000) / 10);
}

/** The answer itself, which is shown large, and what is said after it. */
export function splitAnswer(sentence: string): { readonly answer: string; readonly rest: string } {
  const end = sentence.search(/[.!?] (?=\p{Lu})/u);
  return end === -1
    ? { answer: sentence, rest: '' }
    : { answer: sentence.slice(0, end + 1), rest: sentence.slice(end + 2) };
}

/** How many runs speak for a side: "3 runs of 5 planned rounds in 1 session; 1 without a value". */
export function sideWords({ count, noValueCount, plannedRounds, doneRounds, sessionCount }: Side): string {
  const parts = [
    count === 1 ? '1 run' : `${count} runs`,
    ...(plannedRounds === null ? [] : [`${doneRounds} of ${plannedRounds} planned rounds done`]),
    ...(sessionCount > 1 ? [`${sessionCount} sessions`] : []),
    ...(noValueCount === 0 ? [] : [`${noValueCount} without a value`]),
  ];
  return parts.join(', ');
}

/** What the picture of the interval shows, in words. */
export function intervalSummary(
  { ratio, levelInterval, marginPercent, confidence, better }: Comparison,
  names: SideNames,
): string {
  if (ratio === null) return 'There is no interval yet: too few runs with a value.';
  const limits = `The margin reaches from ${ratioPercent(1 / (1 + marginPercent / 100))} to ${ratioPercent(1 + marginPercent / 100)}.`;
  const inner =
    levelInterval === null
      ? ''
      : ` The thick bar, which decides on “level”, reaches from ${ratioPercent(levelInterval.low)} to ${ratioPercent(levelInterval.high)}.`;
  return (
    `${names.a} against ${names.b}: ${ratioPercent(ratio.ratio)}, ${confidenceWords(confidence)} interval ` +
    `${ratioPercent(ratio.low)} to ${ratioPercent(ratio.high)}; ${better === 'less' ? 'less' : 'more'} is better.${inner} ${limits}`
  );
}

/** What stands at the two ends of the ratio's axis. */
export function axisEnds(better: Comparison['better'], names: SideNames): { less: string; more: string } {
  return better === 'more'
    ? { less: `← ${names.b} ahead`, more: `${names.a} ahead →` }
    : { less: `← ${names.a} ahead (sooner)`, more: `${names.b} ahead (sooner) →` };
}

export function checkpointWords({ ratio, isClear }: Checkpoint, names: SideNames): string {
  if (ratio === null) return 'too few runs have a torque there';
  if (!isClear) return 'not told apart';
  return ratio.ratio > 1 ? `${names.a} ahead` : `${names.b} ahead`;
}

/** Where the lead of one curve over the other begins, in a sentence. */
export function leadSentence(
  { checkpoints, leadStartsAtS }: Pick<Comparison, 'checkpoints' | 'leadStartsAtS'>,
  names: SideNames,
): string {
  if (checkpoints.length === 0) return 'Every run from its onset on.';
  const measured = checkpoints.filter(({ ratio }) => ratio !== null);
  const last = measured.at(-1);
  if (last === undefined) return 'No instant has enough runs for an interval of the curves yet.';
  if (leadStartsAtS === null) {
    return 'At no instant from which on it would last does one of them lead clearly.';
  }
  const leader = (last.ratio?.ratio ?? 1) > 1 ? names.a : names.b;
  return `${leader} leads clearly from ${formatDuration(leadStartsAtS, 0)} after onset on.`;
}

/** What a run is in the picture of runs, in words. */
export function runStateWords({ leftOutBecause, value, isReference }: ComparedTrial): string {
  if (leftOutBecause !== null) return `left out: ${leftOutBecause}`;
  if (value === null) return 'no value: not reached, or the curve does not carry it';
  return isReference ? 'reference pull' : 'counts';
}

export function roundWords(round: number | null): string {
  return round === null || round === 0 ? '–' : String(round);
}
