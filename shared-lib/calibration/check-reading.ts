import { formatNumber, formatQuantity } from '../format-quantity.ts';
import { KILOGRAMS_PER_POUND, STANDARD_GRAVITY_MPS2 } from '../quantities.ts';
import { formatLevelTorque, listWeights, loadOf } from './run-instructions.ts';
import type { PlannedReading, ReadingFlag, RunSetup } from './run-model.ts';
import { type KnownGain, signedTorqueNm } from './run-scale.ts';
import type { Weight } from './standards-model.ts';
import type { Steadiness } from './watch-steadiness.ts';

/** A steady reading and what is known beside it. */
export interface ReadingToCheck {
  readonly setup: RunSetup;
  readonly asked: PlannedReading;
  readonly meanCounts: number;
  /** The newest bare arm of this mounting; null: not read yet. */
  readonly zeroCounts: number | null;
  /** The reading whose load hung before; null after a handling. */
  readonly before: PlannedReading | null;
  readonly gain: KnownGain | null;
  readonly fullDeflectionCounts: number;
  readonly converterBits: number;
}

/**
 * Ours: how far a deflection may lie from what the gain known so far tells, before it looks like another load. Transducers
 * are straight to some tenths of a percent; the calibration in use may itself be what is wrong.
 */
const TOLERANCE: Readonly<Record<KnownGain['source'], number>> = {
  run: 0.01,
  otherSense: 0.05,
  calibration: 0.1,
};
/** Ours: noise, friction and hysteresis, as a share of the greatest deflection, on top of that. */
const FULL_SCALE_TOLERANCE = 0.002;
/** A load shifted sideways is meant to read differently (ours). */
const SIDEWAYS_TOLERANCE = 0.05;
/** Ours: a zero that moved by more since the last one says that something hangs, or that the arm slipped. */
const ZERO_SHIFT_SHARE = 0.005;
/** Ours: so close to the end of the converter noise and overshoot are cut off. */
const NEAR_RAIL_SHARE = 0.98;
/** Under this deflection one count alone is worth more than 1 % (ours). */
const LEAST_DEFLECTION_COUNTS = 100;
/** How near a ratio must come to that of two units to be asked about (ours). */
const UNIT_TOLERANCE = 0.02;

/** A mass entered in another unit hangs too heavy or too light by one of these factors. */
const unitSlips = [
  { factor: KILOGRAMS_PER_POUND, sentence: 'entered in pounds as if they were kilograms' },
  { factor: 1 / KILOGRAMS_PER_POUND, sentence: 'entered in kilograms, but converted as if from pounds' },
  { factor: 1 / STANDARD_GRAVITY_MPS2, sentence: 'entered in newtons as if they were kilograms' },
  { factor: STANDARD_GRAVITY_MPS2, sentence: 'entered in kilograms, but converted as if from newtons' },
] as const;

/** What a reading says about the load that hangs; empty where nothing is out of the ordinary. */
export function checkReading(reading: ReadingToCheck): ReadingFlag[] {
  const flags: ReadingFlag[] = [];
  const railed = checkRails(reading);
  if (railed !== null) flags.push(railed);
  const ofLoad = reading.asked.level === 0 ? checkZero(reading) : checkLoad(reading);
  if (ofLoad !== null) flags.push(ofLoad);
  return flags;
}

function checkRails({ meanCounts, converterBits }: ReadingToCheck): ReadingFlag | null {
  const railCounts = 2 ** (converterBits - 1);
  if (Math.abs(meanCounts) < NEAR_RAIL_SHARE * railCounts) return null;
  return {
    code: 'near-rail',
    sentence: `The reading stands at ${formatNumber(meanCounts, 0)} counts, the end of what a converter of ${converterBits} bits can give, so it says nothing of the load. Take the load off and lower the amplifier's gain.`,
  };
}

function checkZero(reading: ReadingToCheck): ReadingFlag | null {
  const { zeroCounts, meanCounts, fullDeflectionCounts, gain } = reading;
  if (zeroCounts === null) return null;
  const shiftCounts = meanCounts - zeroCounts;
  if (Math.abs(shiftCounts) <= ZERO_SHIFT_SHARE * fullDeflectionCounts) return null;
  const percent = (100 * Math.abs(shiftCounts)) / fullDeflectionCounts;
  const torque = gain === null ? '' : ` (${formatLevelTorque(Math.abs(shiftCounts / gain.countsPerNm))})`;
  return {
    code: 'zero-moved',
    sentence: `The bare arm reads ${formatNumber(shiftCounts, 0)} counts${torque} from its last zero, ${formatNumber(percent, 1)} % of the greatest deflection. Does something still hang, or has the arm slipped? If it slipped, the readings since the last zero are worth nothing.`,
  };
}

function checkLoad(reading: ReadingToCheck): ReadingFlag | null {
  const { asked, zeroCounts, meanCounts, gain } = reading;
  if (zeroCounts === null) {
    return {
      code: 'no-zero',
      sentence: 'The bare arm of this mounting was not read yet, so this load cannot be judged.',
    };
  }
  const deflectionCounts = meanCounts - zeroCounts;
  if (gain === null) {
    if (Math.abs(deflectionCounts) >= LEAST_DEFLECTION_COUNTS) return null;
    return {
      code: 'too-small',
      sentence: `The load moved the reading by only ${formatNumber(deflectionCounts, 0)} counts. Does it hang free? If it does, take a heavier weight, a longer arm, or more gain of the amplifier.`,
    };
  }
  const expectedCounts = gain.countsPerNm * signedTorqueNm(asked);
  const share = asked.stage === 'bending' ? SIDEWAYS_TOLERANCE : TOLERANCE[gain.source];
  const slackCounts = FULL_SCALE_TOLERANCE * reading.fullDeflectionCounts;
  const offCounts = Math.abs(deflectionCounts - expectedCounts);
  if (offCounts <= share * Math.abs(expectedCounts) + slackCounts) return null;
  return explainLoad(reading, gain, deflectionCounts, slackCounts);
}

/** What else could hang there, the simplest first. */
function explainLoad(
  { setup, asked, before }: ReadingToCheck,
  gain: KnownGain,
  deflectionCounts: number,
  slackCounts: number,
): ReadingFlag {
  const readNm = Math.sign(signedTorqueNm(asked)) * (deflectionCounts / gain.countsPerNm);
  const slackNm = Math.abs(slackCounts / gain.countsPerNm);
  const share = TOLERANCE[gain.source] / 2;
  const isNear = (torqueNm: number): boolean =>
    Math.abs(readNm - torqueNm) <= share * Math.abs(torqueNm) + slackNm;
  const weights = loadOf(setup, asked);
  const said = `It reads ${formatLevelTorque(readNm)}, and ${listWeights(weights)} should give ${formatLevelTorque(asked.torqueNm)}`;
  const flag = (code: string, question: string): ReadingFlag => ({ code, sentence: `${said}. ${question}` });

  if (readNm < 0 && Math.abs(readNm) > slackNm) {
    return flag('wrong-direction', `The load acts the other way: this series goes ${asked.sense}.`);
  }
  const totalKg = weights.reduce((sum, { massKg }) => sum + massKg, 0);
  const torqueOf = ({ massKg }: Weight): number => (asked.torqueNm * massKg) / totalKg;
  const slip = findUnitSlip(readNm, asked.torqueNm, weights, torqueOf, slackNm);
  // The run's own readings would all be off alike; only the calibration in use can show it.
  const isOfAll = slip !== null && slip.weight === null && gain.source === 'calibration';
  if (isOfAll) return flag('mass-unit', slip.question);
  if (isNear(0)) return flag('nothing-hangs', 'Nothing seems to hang there.');
  if (before !== null && before.level !== asked.level && isNear(before.torqueNm)) {
    return flag('same-load', 'The load of the reading before still seems to hang there.');
  }
  const twice = weights.find((weight) => isNear(asked.torqueNm + torqueOf(weight)));
  if (twice !== undefined) {
    return flag(
      'weight-twice',
      `That is ${twice.name} more: does it hang there twice, or another one with it?`,
    );
  }
  const missing = weights.find((weight) => isNear(asked.torqueNm - torqueOf(weight)));
  if (missing !== undefined && weights.length > 1) {
    return flag('weight-missing', `That is ${missing.name} less: is it missing?`);
  }
  if (slip !== null) return flag('mass-unit', slip.question);
  const percent = formatNumber(100 * (readNm / asked.torqueNm - 1), 1);
  return flag(
    'unexpected-load',
    gain.source === 'calibration'
      ? `By the calibration in use it is off by ${percent} %: check weights, arm and units, or take it if that calibration is what is wrong.`
      : `By the readings so far it is off by ${percent} %: check the weights, whether they hang free, and whether the arm slipped. If it is right, one of those before is not.`,
  );
}

function findUnitSlip(
  readNm: number,
  torqueNm: number,
  weights: readonly Weight[],
  torqueOf: (weight: Weight) => number,
  slackNm: number,
): { readonly weight: Weight | null; readonly question: string } | null {
  for (const { factor, sentence } of unitSlips) {
    const isNear = (expectedNm: number): boolean =>
      Math.abs(readNm - expectedNm) <= UNIT_TOLERANCE * Math.abs(expectedNm) + slackNm;
    const ratio = formatNumber(Math.max(factor, 1 / factor), 3);
    if (isNear(torqueNm * factor)) {
      return {
        weight: null,
        question: `The ratio is ${ratio}: were the masses ${sentence}? Then correct the weights and begin anew.`,
      };
    }
    if (weights.length < 2) continue;
    const single = weights.find((weight) => isNear(torqueNm + (factor - 1) * torqueOf(weight)));
    if (single !== undefined) {
      return {
        weight: single,
        question: `It fits if ${single.name} is off by ${ratio}: was its mass ${sentence}? Then correct it and begin anew.`,
      };
    }
  }
  return null;
}

/** What keeps a reading from being taken by itself for longer than it should. */
export function checkWaiting(state: Steadiness, asked: Pick<PlannedReading, 'stage'>): ReadingFlag[] {
  if (isCreep(asked) && state.loadedS === null && state.phase !== 'moving') {
    return [
      {
        code: 'load-time-unknown',
        sentence:
          'Since when this load hangs is not known any more: it was touched, or the run was interrupted. Take everything off, let it hang free, and hang the load again.',
      },
    ];
  }
  if (!state.isNeverSteady || state.window === null) return [];
  return [{ code: 'never-steady', sentence: `The reading does not come to rest. ${unrestOf(state)}` }];
}

/** What is out of the ordinary in a reading that is taken by key before it would be by itself. */
export function checkHaste(state: Steadiness, asked: Pick<PlannedReading, 'stage'>): ReadingFlag[] {
  if (state.phase === 'steady') return [];
  const held = formatQuantity(state.heldS, 's', 1);
  const wanted = formatQuantity(state.dwellS, 's', 1);
  if (isCreep(asked)) {
    return [
      { code: 'creep-time', sentence: `Taken by key, ${held} after the load was hung instead of ${wanted}.` },
    ];
  }
  if (state.phase === 'unchanged') {
    return [{ code: 'unchanged', sentence: 'Taken by key while it still read as the load before did.' }];
  }
  return [
    {
      code: 'not-steady',
      sentence: `Taken by key after ${held} of ${wanted} at rest. ${unrestOf(state)}`.trim(),
    },
  ];
}

const isCreep = ({ stage }: Pick<PlannedReading, 'stage'>): boolean =>
  stage === 'creep30' || stage === 'creep300';

function unrestOf({ window }: Steadiness): string {
  if (window === null) return '';
  const spread = `It spreads by ${formatNumber(window.spreadCounts, 1)} counts (limit ${formatNumber(window.spreadLimitCounts, 1)})`;
  const driftCounts = Math.abs(window.driftCountsPerS) * window.durationS;
  return `${spread} and drifts by ${formatNumber(driftCounts, 1)} (limit ${formatNumber(window.driftLimitCounts, 1)}) over ${formatQuantity(window.durationS, 's', 1)}. Keep draught, swinging and touching hands off it.`;
}
