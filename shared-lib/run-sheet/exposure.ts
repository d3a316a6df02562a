import { formatDuration, formatNumber, THIN_SPACE } from '../format-quantity.ts';
import type { Exposure, ToolExposure } from './session-model.ts';

/** Directive 2002/44/EC, article 3: 2.5 m/s2 and 5 m/s2 over 8 h, as points. */
export const ACTION_POINTS = 100;
export const LIMIT_POINTS = 400;
const ACTION_A8_MPS2 = 2.5;
const WORKING_DAY_H = 8;
/** So many points are the same as the limits but for the rounding of a sum. */
const ROUNDING = 1e-9;

export interface ExposedPull {
  readonly toolName: string;
  /** Whether the list of tools has it, so that a value can be entered for it. */
  readonly isListed: boolean;
  /** How long the trigger was held. */
  readonly triggerS: number;
  /** As the maker declares them; null: not known. */
  readonly vibrationMps2: number | null;
  readonly noiseDbA: number | null;
}

/**
 * What the operator's hands and ears took in over some pulls.
 *
 * Vibration: points = 2 a^2 t (t in hours), which add up; A(8) = sqrt(sum a^2 t / 8) = 2.5 sqrt(points / 100) in m/s2
 * (Directive 2002/44/EC). Noise: L_EX,8h = 10 lg(sum t 10^(L / 10) / 8), levels of equal energy (Directive
 * 2003/10/EC and ISO 1999, from memory). Tools without a declared value are left out of the sum, and it is said.
 */
export function exposureOf(pulls: readonly ExposedPull[]): Exposure {
  const tools = toolsOf(pulls);
  const triggerS = sum(tools.map((tool) => tool.triggerS));
  const points = sum(tools.map((tool) => tool.points ?? 0));
  const knownTriggerS = sum(tools.map((tool) => (tool.points === null ? 0 : tool.triggerS)));
  const a8Mps2 = ACTION_A8_MPS2 * Math.sqrt(points / ACTION_POINTS);
  const noiseLex8hDbA = noiseOver8h(tools);
  const state =
    points >= LIMIT_POINTS * (1 - ROUNDING)
      ? 'limitReached'
      : points >= ACTION_POINTS * (1 - ROUNDING)
        ? 'actionReached'
        : 'below';
  const exposure = { triggerS, tools, points, a8Mps2, knownTriggerS, noiseLex8hDbA, state } as const;
  return { ...exposure, sentences: sentencesOf(exposure, pulls) };
}

function toolsOf(pulls: readonly ExposedPull[]): ToolExposure[] {
  const groups = new Map<string, { first: ExposedPull; triggerS: number; pullCount: number }>();
  for (const pull of pulls) {
    // A declared value that was put right in mid-session makes two rows of the tool.
    const key = JSON.stringify([pull.toolName, pull.vibrationMps2, pull.noiseDbA]);
    const { first, triggerS, pullCount } = groups.get(key) ?? { first: pull, triggerS: 0, pullCount: 0 };
    groups.set(key, { first, triggerS: triggerS + pull.triggerS, pullCount: pullCount + 1 });
  }
  return [...groups.values()].map(({ first, triggerS, pullCount }) => ({
    toolName: first.toolName,
    triggerS,
    pullCount,
    vibrationMps2: first.vibrationMps2,
    noiseDbA: first.noiseDbA,
    points: first.vibrationMps2 === null ? null : (2 * first.vibrationMps2 ** 2 * triggerS) / 3600,
  }));
}

function noiseOver8h(tools: readonly ToolExposure[]): number | null {
  const energyHours = sum(
    tools.map(({ noiseDbA, triggerS }) =>
      noiseDbA === null ? 0 : (10 ** (noiseDbA / 10) * triggerS) / 3600,
    ),
  );
  return energyHours > 0 ? 10 * Math.log10(energyHours / WORKING_DAY_H) : null;
}

function sentencesOf(exposure: Omit<Exposure, 'sentences'>, pulls: readonly ExposedPull[]): string[] {
  const { triggerS, tools, points, a8Mps2, knownTriggerS, noiseLex8hDbA, state } = exposure;
  if (triggerS === 0) return ['No tool has pulled yet.'];
  const sentences: string[] = [];
  const hasVibration = knownTriggerS > 0;
  if (hasVibration) {
    sentences.push(
      `Vibration: ${pointsInWords(points)} points in ${formatDuration(knownTriggerS, 0)} of trigger time, A(8) ${formatNumber(a8Mps2, 2)}${THIN_SPACE}m/s². ${STATE_SENTENCES[state]}`,
    );
  }
  const notKnown = pulls.filter((pull) => pull.vibrationMps2 === null && pull.triggerS > 0);
  const { listed = [], unlisted = [] } = Object.groupBy(notKnown, ({ isListed }) =>
    isListed ? 'listed' : 'unlisted',
  );
  const withoutPoints = (those: readonly ExposedPull[]): string => {
    const time = formatDuration(sum(those.map((pull) => pull.triggerS)), 0);
    return `${time} of trigger time ${hasVibration ? 'is not in the points, and the true exposure is higher' : 'has no points, which does not mean that it is harmless'}`;
  };
  if (listed.length > 0) {
    sentences.push(
      `No vibration is declared for ${namesOf(listed)}: ${withoutPoints(listed)}. Enter the value from the maker’s manual in Tools.`,
    );
  }
  if (unlisted.length > 0) {
    sentences.push(
      `No tool of the list is called ${namesOf(unlisted)}: ${withoutPoints(unlisted)}. Add it in Tools with the value from the maker’s manual, or put right in the Logbook which tool it was.`,
    );
  }
  if (noiseLex8hDbA !== null) {
    const isAll = tools.every(({ noiseDbA }) => noiseDbA !== null);
    sentences.push(
      `Noise: these pulls alone make ${formatNumber(noiseLex8hDbA, 1)}${THIN_SPACE}dB(A) over 8${THIN_SPACE}h${isAll ? '' : ', without the tools for which no level is declared'}. Wear hearing protection whatever this figure says: single blows can be far louder.`,
    );
  }
  sentences.push(
    'Declared values were measured under other conditions than these, and only pulls that were recorded here are counted, not other work of the day. An aid, not a safety assessment: follow your local rules and the maker’s manual.',
  );
  return sentences;
}

function namesOf(pulls: readonly ExposedPull[]): string {
  return [...new Set(pulls.map(({ toolName }) => toolName))].join(', ');
}

/** What is under a limit is not rounded up to it. */
function pointsInWords(points: number): string {
  const rounded = Math.round(points);
  const looksReached = [ACTION_POINTS, LIMIT_POINTS].some((limit) => points < limit && rounded >= limit);
  const decimals = points < 10 || looksReached ? 1 : 0;
  return formatNumber(looksReached ? Math.floor(10 * points) / 10 : points, decimals);
}

const STATE_SENTENCES = {
  below: `That is below the action value of ${ACTION_POINTS} points (2.5${THIN_SPACE}m/s² over 8${THIN_SPACE}h).`,
  actionReached: `The action value of ${ACTION_POINTS} points (2.5${THIN_SPACE}m/s² over 8${THIN_SPACE}h) is reached: shorten the pulls, share the work or go on another day.`,
  limitReached: `The daily limit value of ${LIMIT_POINTS} points (5${THIN_SPACE}m/s² over 8${THIN_SPACE}h) is reached: stop pulling for today.`,
} as const satisfies Record<Exposure['state'], string>;

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
