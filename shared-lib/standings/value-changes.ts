import { formatQuantity } from '../format-quantity.ts';
import { parseTrialMeasureKey } from './measure-keys.ts';
import { findProperty, type ScoredInput } from './score-input.ts';
import type { ToolProperty } from './scheme-model.ts';
import type { ScoredTrial, StandingsInput } from './standings-model.ts';
import { describeProperty, formatTermValue } from './term-words.ts';

/** Why the mean of a contender's trials, or whether it has one, is other in `to`: from the trials themselves. */
export function trialReasons(from: ScoredInput, to: ScoredInput, measureKey: string, key: string): string[] {
  const before = trialsOfKey(from, measureKey, key);
  const after = trialsOfKey(to, measureKey, key);
  const found = new Map<string, ChangedTrial[]>();
  const add = (reason: string, trial: ScoredTrial, change: ValueChange | null = null): void => {
    const trials = found.get(reason);
    if (trials) trials.push({ trial, change });
    else found.set(reason, [{ trial, change }]);
  };
  const format = (value: number | null): string =>
    value === null
      ? 'no value'
      : formatTermValue({ of: 'trial', ...parseTrialMeasureKey(measureKey) }, value, to.input.table.currency);
  for (const { trial, value, wasAsked } of after.values()) {
    const earlier = before.get(trial.trialId);
    if (earlier !== undefined) {
      const { reasons, change } = ofSameTrial(from.input, to.input, earlier, { trial, value, wasAsked });
      for (const reason of reasons) add(reason, trial);
      if (change !== null) add(change.reason, trial, change);
      continue;
    }
    const elsewhere = from.trialById(trial.trialId);
    if (elsewhere !== undefined && elsewhere.key !== key) {
      add(`counts for it now, before for ${labelOf(from.input, elsewhere.key)}`, trial);
    } else {
      add(
        trial.leftOutBecause === null ? 'came' : `came, but does not count: ${unended(trial.leftOutBecause)}`,
        trial,
      );
    }
  }
  for (const { trial } of before.values()) {
    if (after.has(trial.trialId)) continue;
    const elsewhere = to.trialById(trial.trialId);
    add(
      elsewhere !== undefined && elsewhere.key !== key
        ? `counts for ${labelOf(to.input, elsewhere.key)} now`
        : 'is not among its trials any more',
      trial,
    );
  }
  return [...found].map(
    ([reason, trials]) =>
      `${subjectOf(trials)} ${trials.length > 1 ? inPlural(reason) : reason}${changeInWords(trials, format)}.`,
  );
}

interface TrialValue {
  readonly trial: ScoredTrial;
  readonly value: number | null;
  /** False: a time to a level that nobody asked for. */
  readonly wasAsked: boolean;
}

const ASKED_SINCE = 'was measured with the time to this torque asked for, and has none';
const NEVER_ASKED = 'was measured without the time to this torque being asked for';

interface ValueChange {
  readonly is: number | null;
  readonly was: number | null;
}

interface ChangedTrial {
  readonly trial: ScoredTrial;
  readonly change: ValueChange | null;
}

function ofSameTrial(
  from: StandingsInput,
  to: StandingsInput,
  before: TrialValue,
  after: TrialValue,
): { reasons: string[]; change: (ValueChange & { readonly reason: string }) | null } {
  const was = before.trial.leftOutBecause;
  const is = after.trial.leftOutBecause;
  if (is !== null) {
    if (was === is) return { reasons: [], change: null };
    const reason = was === null ? 'does not count any more' : 'is left out for another reason now';
    return { reasons: [`${reason}: ${unended(is)}`], change: null };
  }
  const reasons = was === null ? [] : [`counts now; before it did not: ${unended(was)}`];
  if (before.value === after.value) {
    if (before.wasAsked !== after.wasAsked) reasons.push(after.wasAsked ? ASKED_SINCE : NEVER_ASKED);
    return { reasons, change: null };
  }
  let reason =
    before.trial.evaluationId === after.trial.evaluationId ? 'has another value' : 'was measured anew';
  if (before.trial.calibrationId !== after.trial.calibrationId) {
    const label = calibrationLabel(to, after.trial.calibrationId);
    reason = `is read by ${label} now, before by ${calibrationLabel(from, before.trial.calibrationId)}`;
  }
  return { reasons, change: { reason, is: after.value, was: before.value } };
}

/** ": 505 N·m, was 500 N·m" of one trial, ": 1.00 % more on average" of several. */
function changeInWords(trials: readonly ChangedTrial[], format: (value: number | null) => string): string {
  const changes = trials.flatMap(({ change }) => change ?? []);
  const [first] = changes;
  if (first === undefined) return '';
  if (changes.length === 1) return `: ${format(first.is)}, was ${format(first.was)}`;
  let sum = 0;
  for (const { is, was } of changes) {
    if (is === null || was === null || !(is > 0 && was > 0)) return '';
    sum += Math.log(is / was);
  }
  const percent = 100 * Math.expm1(sum / changes.length);
  return `: ${formatQuantity(Math.abs(percent), 'percent', 2)} ${percent < 0 ? 'less' : 'more'} on average`;
}

/** Why a property of a contender, or whether it has one, is other in `to`. */
export function propertyReasons(
  from: ScoredInput,
  to: ScoredInput,
  property: ToolProperty,
  key: string,
): string[] {
  const before = propertyOf(from, property, key);
  const after = propertyOf(to, property, key);
  const name = capitalised(describeProperty(property));
  if (before.value === after.value && before.missing === after.missing) return [];
  const words = (side: ScoredInput, { value, missing, source }: typeof before): string => {
    if (value === null) return `not known: ${unended(missing ?? 'nothing is entered')}`;
    const text = formatTermValue({ of: 'tool', property }, value, side.input.table.currency);
    return source === '' ? text : `${text} (${source})`;
  };
  const reasons = [`${name}: is ${words(to, after)}; was ${words(from, before)}.`];
  if (property !== 'priceBare' && property !== 'priceKit') return reasons;
  const [was, is] = [from.input.table.currency, to.input.table.currency];
  if (was !== is) reasons.push(`Prices are given in ${is} now, before in ${was}.`);
  const sources = `${before.source} ${before.missing ?? ''} ${after.source} ${after.missing ?? ''}`;
  reasons.push(
    ...rateChanges(from.input, to.input)
      .filter(({ currencies }) =>
        currencies.some((currency) => currency !== is && sources.includes(currency)),
      )
      .map(({ sentence }) => sentence),
  );
  return reasons;
}

/** Rates that are there now and were not, and the other way round. */
export function rateChanges(
  from: Pick<StandingsInput, 'rates'>,
  to: Pick<StandingsInput, 'rates'>,
): { readonly currencies: readonly string[]; readonly sentence: string }[] {
  const text = ({ currency, inCurrency, rate, on }: StandingsInput['rates'][number]): string =>
    `1 ${currency} is ${rate} ${inCurrency} from ${on} on`;
  const before = new Set(from.rates.map(text));
  const after = new Set(to.rates.map(text));
  return [
    ...to.rates
      .filter((rate) => !before.has(text(rate)))
      .map((rate) => ({
        currencies: [rate.currency, rate.inCurrency],
        sentence: `A rate was entered: ${text(rate)}.`,
      })),
    ...from.rates
      .filter((rate) => !after.has(text(rate)))
      .map((rate) => ({
        currencies: [rate.currency, rate.inCurrency],
        sentence: `A rate does not stand any more: ${text(rate)}.`,
      })),
  ];
}

function trialsOfKey(
  { input, trialsOf }: ScoredInput,
  measureKey: string,
  key: string,
): Map<string, TrialValue> {
  const measure = input.measures.indexOf(measureKey);
  const { counted, valueless, leftOut } = trialsOf(measure, key);
  const trials = [...counted.map(({ trial }) => trial), ...valueless, ...leftOut];
  return new Map(
    trials.map((trial) => {
      const found = trial.values.find((candidate) => candidate.measure === measure);
      return [trial.trialId, { trial, value: found?.value ?? null, wasAsked: found?.wasAsked ?? true }];
    }),
  );
}

function propertyOf(
  { field }: ScoredInput,
  property: ToolProperty,
  key: string,
): { value: number | null; missing: string | null; source: string } {
  const subject = field.subjects.find(({ contender }) => contender.key === key);
  const found = subject === undefined ? undefined : findProperty(subject, property);
  return found ?? { value: null, missing: 'nothing is entered', source: '' };
}

/** "The trial of 2026-03-10 09:12 UTC" or "3 trials". */
function subjectOf(trials: readonly ChangedTrial[]): string {
  const [first] = trials;
  return trials.length === 1 && first !== undefined
    ? `The trial of ${first.trial.startedAt.slice(0, 16).replace('T', ' ')} UTC`
    : `${trials.length} trials`;
}

function inPlural(reason: string): string {
  return reason
    .replace(/^is /, 'are ')
    .replace(/^was /, 'were ')
    .replace(/^has /, 'have ')
    .replace(/^counts /, 'count ')
    .replace(/^does /, 'do ')
    .replace('but does not', 'but do not');
}

function labelOf({ subjects }: StandingsInput, key: string): string {
  return subjects.find(({ contender }) => contender.key === key)?.contender.label ?? 'another contender';
}

function calibrationLabel({ calibrations }: StandingsInput, calibrationId: string): string {
  return calibrations.find((one) => one.calibrationId === calibrationId)?.label ?? calibrationId;
}

function unended(sentence: string): string {
  return sentence.replace(/\.$/, '');
}

function capitalised(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
