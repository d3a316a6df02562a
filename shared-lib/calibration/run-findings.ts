import { formatNumber, formatTorqueInBothUnits, THIN_SPACE } from '../format-quantity.ts';
import {
  KILOGRAMS_PER_POUND,
  NEWTON_METRES_PER_FOOT_POUND_FORCE,
  STANDARD_GRAVITY_MPS2,
} from '../quantities.ts';
import type { Direction } from '../trial/step-model.ts';
import { ARM_LENGTH } from './applied-torque.ts';
import type { CalibrationSense } from './calibration-model.ts';
import type { Distributions } from './distributions.ts';
import type { RunToEvaluate } from './evaluate-run.ts';
import { findGainChanges, findSlip, type GainChange } from './find-slips.ts';
import { findStrayReadings } from './find-stray-readings.ts';
import { unknownBenchTerms } from './independent-terms.ts';
import type { Finding, SenseResult } from './result-model.ts';
import { nextIndex } from './plan-run.ts';
import { greatestDeflectionCounts, type Series } from './series-figures.ts';

/** Gains of the calibration in use. */
export interface GainsInUse {
  readonly forward: Pick<CalibrationSense, 'gainNmPerCount'> | null;
  readonly reverse: Pick<CalibrationSense, 'gainNmPerCount'> | null;
}

/** Ours, in percent of the greatest deflection: the zero limits of class 1 and, beyond class 5, of no class (from memory). */
const ZERO_LOOK_PERCENT = 0.25;
const ZERO_STOP_PERCENT = 1;
/** Ours: reversibility of class 1 (from memory). */
const REVERSIBILITY_LOOK_PERCENT = 1.25;
/** Ours: a chain that nobody touched repeats its gain within this. */
const GAIN_CHANGE_PERCENT = 0.5;
/** Ours: the two senses of a transducer differ by tenths of a percent. */
const SENSES_DIFFER_PERCENT = 5;
/** Two arms that disagree by more than so many standard uncertainties are not both as long as stated. */
const ARMS_DIFFER_FACTOR = 3;
/** Ours: what mounting the second arm may change by itself, as a relative standard uncertainty in percent. */
const OTHER_MOUNTING_PERCENT = 0.1;
/** As for the degree of the curve. */
const MISSES_STEPS_P = 0.01;
/** Ours: so far off no honest calibration comes of it. */
const SLIP_STOP_PERCENT = 2;
const CREEP_LOOK_PERCENT = 0.1;
const BENDING_LOOK_PERCENT = 0.25;
const UNIT_TOLERANCE = 0.02;

const unitRatios = [
  { ratio: KILOGRAMS_PER_POUND, words: 'of pounds to kilograms' },
  { ratio: STANDARD_GRAVITY_MPS2, words: 'of kilograms to newtons' },
  { ratio: NEWTON_METRES_PER_FOOT_POUND_FORCE, words: 'of ft·lbf to N·m' },
] as const;

const percent = (value: number, decimals = 2): string => `${formatNumber(value, decimals)}${THIN_SPACE}%`;

/** What one sense's readings give to look at. */
export function senseFindings(
  run: RunToEvaluate,
  result: SenseResult,
  series: readonly Series[],
  distributions: Distributions,
): Finding[] {
  const { sense } = result;
  const find = (code: string, severity: Finding['severity'], sentence: string): Finding => ({
    code,
    severity,
    sense,
    sentence,
  });
  const findings: Finding[] = [];

  const signs = new Set(
    series.flatMap(({ increasing }) =>
      increasing.map(({ torqueNm, counts }) => Math.sign(counts * torqueNm)),
    ),
  );
  if (signs.size > 1) {
    findings.push(
      find(
        'wrong-direction',
        'stop',
        `Some ${sense} loads moved the counts up and some down. One of them hung on the wrong side, or nothing hung: find it in the table and take it again.`,
      ),
    );
  }
  const slip = findSlip(series, distributions);
  const slippedSeries = slip === null ? undefined : series[slip.series];
  if (slip !== null) {
    findings.push(
      find(
        'slipped',
        Math.abs(slip.changePercent) > SLIP_STOP_PERCENT ? 'stop' : 'look',
        `From reading ${slip.index + 1} on (${sense}, ${formatTorqueInBothUnits(Math.abs(slip.torqueNm), 1)}) its series reads ${percent(slip.changePercent)} away from the others: the arm or a weight slipped there, as a rule. Tighten the arm and take the readings of this mounting again.`,
      ),
    );
  }
  for (const change of findGainChanges(series)) findings.push(gainChangeFinding(sense, change));
  const strays = findStrayReadings(series, distributions).filter(
    // One slip puts several readings off the curve.
    ({ index }) => !slippedSeries?.increasing.some((point) => point.index === index),
  );
  for (const stray of strays) {
    findings.push(
      find(
        'stray-reading',
        stray.isFar ? 'stop' : 'look',
        `Reading ${stray.index + 1} (${sense}, ${formatTorqueInBothUnits(Math.abs(stray.torqueNm), 1)}) lies ${percent(stray.deviationPercent)} off the others: a weight slipped, was missing or hung twice, or the arm touched something. Take it again.`,
      ),
    );
  }
  const zeroDrift = zeroDriftPercent(series);
  if (zeroDrift > ZERO_LOOK_PERCENT) {
    findings.push(
      find(
        'zero-moved',
        zeroDrift > ZERO_STOP_PERCENT ? 'stop' : 'look',
        `The zero moved by ${percent(zeroDrift)} of the greatest deflection during the ${sense} series. Something drifts, slips or rubs: let the bench warm up, look at arm and mounting, and take the series again.`,
      ),
    );
  }
  const { candidates, degree, overrideReason } = result;
  const lackOfFitP = candidates.find((candidate) => candidate.degree === degree)?.lackOfFitP ?? null;
  const isOneCurve = run.setup.series !== 'twoArmLengths';
  if (isOneCurve && overrideReason === null && lackOfFitP !== null && lackOfFitP < MISSES_STEPS_P) {
    const worst = Math.max(...result.steps.map(({ interpolationPercent }) => Math.abs(interpolationPercent)));
    findings.push(
      find(
        'misses-steps',
        'look',
        `The ${sense} curve misses the steps by up to ${percent(worst)}, more than they scatter (lack of fit). It stands in the budget as a limit. ${adviceOnMiss(result)}`,
      ),
    );
  }
  const reversibility = Math.max(
    0,
    ...result.steps.map(({ reversibilityPercent }) => reversibilityPercent ?? 0),
  );
  if (reversibility > REVERSIBILITY_LOOK_PERCENT) {
    findings.push(
      find(
        'large-reversibility',
        'look',
        `Unloading reads up to ${percent(reversibility)} away from loading: friction in the mounting, as a rule. See that nothing rubs.`,
      ),
    );
  }
  if ((result.creepPercent ?? 0) > CREEP_LOOK_PERCENT) {
    findings.push(
      find(
        'creep',
        'look',
        `The reading under the top load crept by ${percent(result.creepPercent ?? 0)} from 30 s to 300 s. It stands in the budget of the bench.`,
      ),
    );
  }
  if ((result.bendingPercent ?? 0) > BENDING_LOOK_PERCENT) {
    findings.push(
      find(
        'sideways-load',
        'look',
        `A load shifted sideways changes the reading by ${percent(result.bendingPercent ?? 0)}. Support the drive against side loads, or hang weights in one plane.`,
      ),
    );
  }
  return [...findings, ...gainFindings(run, result), ...armFindings(run, result)];
}

function gainChangeFinding(sense: Direction, { kind, percent: by }: GainChange): Finding {
  const said = {
    repeats: `Two ${sense} series of one mounting differ in gain by ${percent(by)}: something slipped, rubbed or crept between them. Look at arm and weights, and take the mounting again.`,
    mountings: `The gain differs by ${percent(by)} from one ${sense} mounting to another. It stands in the budget; a drive that fits better, or a support against side loads, would bring it down.`,
    trend: `The ${sense} gain moved by ${percent(by)} from the first series to the last, always the same way: warming up, an arm that slips bit by bit, or chance. Let the bench warm up, and repeat the run if it stays.`,
  } as const;
  return { code: `gain-${kind}`, severity: 'look', sense, sentence: said[kind] };
}

/** The largest distance of any zero from the first one of its mounting. */
function zeroDriftPercent(series: readonly Series[]): number {
  const greatest = greatestDeflectionCounts(series);
  if (greatest === 0) return 0;
  const drifts = [...Map.groupBy(series, ({ mounting }) => mounting).values()].map((ofMounting) => {
    const first = ofMounting[0]?.zeroBeforeCounts ?? 0;
    return Math.max(
      ...ofMounting.flatMap(({ zeroBeforeCounts, zeroShiftCounts }) => [
        Math.abs(zeroBeforeCounts - first),
        Math.abs(zeroBeforeCounts + (zeroShiftCounts ?? 0) - first),
      ]),
    );
  });
  return (100 * Math.max(0, ...drifts)) / greatest;
}

function adviceOnMiss({ candidates, degree }: Pick<SenseResult, 'candidates' | 'degree'>): string {
  if (candidates.some((candidate) => candidate.degree > degree)) {
    return 'Why no higher degree is taken stands beside the fit.';
  }
  return degree < 3 ? 'More steps would let a bent curve be tried.' : 'Look for a step that is wrong.';
}

function gainFindings({ inUse = null }: RunToEvaluate, result: SenseResult): Finding[] {
  const before = inUse?.[result.sense]?.gainNmPerCount;
  if (before === undefined) return [];
  const ratio = gainOf(result) / before;
  const change = 100 * (ratio - 1);
  if (Math.abs(change) <= GAIN_CHANGE_PERCENT) return [];
  const slip = unitSlip(ratio);
  return [
    {
      code: 'gain-changed',
      severity: 'look',
      sense: result.sense,
      sentence:
        `The ${result.sense} gain lies ${percent(change)} away from that of the calibration in use. ` +
        (slip === null
          ? 'If neither transducer, amplifier, cable nor gain was changed, the length of the arm or a weight is not what was entered: measure the arm again from axis to hook.'
          : `That is the ratio ${slip}: check the unit of the weights and of the torque.`),
    },
  ];
}

/** Two arm lengths with the same weight have to give the same gain. */
function armFindings({ setup }: RunToEvaluate, { steps, sense }: SenseResult): Finding[] {
  if (setup.series !== 'twoArmLengths' || setup.shortArm === null) return [];
  const [short, long] = [steps[0], steps.at(-1)];
  if (short === undefined || long === undefined || short === long) return [];
  const gains = [short, long].map(({ torqueNm, meanDeflectionCounts }) => torqueNm / meanDeflectionCounts);
  const difference = 100 * ((gains[0] ?? 1) / (gains[1] ?? 1) - 1);
  const arms = [short, long].map(({ terms, torqueNm }) =>
    terms
      .filter(
        ({ source, estimate, time }) =>
          time === 'calibration' && (estimate === 'repeat' || source === ARM_LENGTH),
      )
      .reduce((sum, { standardUncertaintyNm }) => sum + (standardUncertaintyNm / torqueNm) ** 2, 0),
  );
  const uncertainty = Math.hypot(
    OTHER_MOUNTING_PERCENT,
    ...arms.map((variance) => 100 * Math.sqrt(variance)),
  );
  if (Math.abs(difference) <= ARMS_DIFFER_FACTOR * uncertainty) return [];
  return [
    {
      code: 'arms-disagree',
      severity: 'look',
      sense,
      sentence: `The two arm lengths give gains that differ by ${percent(difference)}, more than their lengths and the readings allow (${percent(ARMS_DIFFER_FACTOR * uncertainty)}). One of the lengths is wrong: measure both again from axis to hook.`,
    },
  ];
}

/** What the run as a whole gives to look at. */
export function runFindings(run: RunToEvaluate, senses: readonly SenseResult[]): Finding[] {
  const { setup, readings, taken, capacityNm } = run;
  const find = (code: string, severity: Finding['severity'], sentence: string): Finding => ({
    code,
    severity,
    sense: null,
    sentence,
  });
  const findings: Finding[] = [];
  if (nextIndex(readings, taken) !== null) {
    const missing = readings.length - taken.length;
    findings.push(
      find(
        'unfinished',
        'note',
        `${missing} of ${readings.length} readings are still to be taken; all figures may change.`,
      ),
    );
  }
  const flagged = taken.filter(({ flags }) => flags.length > 0);
  if (flagged.length > 0) {
    findings.push(
      find(
        'flagged-readings',
        'look',
        `${flagged.length === 1 ? 'One reading was' : `${flagged.length} readings were`} taken although something was out of the ordinary: number ${flagged.map(({ index }) => index + 1).join(', ')}.`,
      ),
    );
  }
  findings.push(...sensesFindings(senses));
  if (setup.series === 'quick') {
    findings.push(
      find(
        'no-repeatability',
        'note',
        'Quick series: nothing is repeated, so there is no repeatability, no reproducibility and no class. The scatter about the curve stands for repeatability.',
      ),
    );
  }
  if (setup.series === 'notRemountable') {
    findings.push(
      find(
        'no-reproducibility',
        'note',
        'One mounting only: what another mounting would change is not known, and there is no class.',
      ),
    );
  }
  if (setup.way === 'oneWeight') {
    findings.push(
      find(
        'single-weight',
        'note',
        'Single-weight sensitivity: valid up to the torque that was applied. Beyond it only a non-linearity from the data sheet would tell, and it is not entered here.',
      ),
    );
  }
  const unknown = unknownBenchTerms(setup.benchTerms, capacityNm);
  if (unknown.length > 0) {
    findings.push(
      find(
        'bench-unknown',
        'note',
        `Not known, and so not in the uncertainty at the bench: ${unknown.join(', ')}. The true one is larger.`,
      ),
    );
  }
  return findings;
}

function sensesFindings(senses: readonly SenseResult[]): Finding[] {
  const [forward, reverse] = [
    senses.find(({ sense }) => sense === 'forward'),
    senses.find(({ sense }) => sense === 'reverse'),
  ];
  if (forward === undefined || reverse === undefined) return [];
  const ratio = gainOf(forward) / gainOf(reverse);
  const find = (code: string, severity: Finding['severity'], sentence: string): Finding[] => [
    { code, severity, sense: null, sentence },
  ];
  if (ratio < 0) {
    return find(
      'same-side',
      'stop',
      'Forward and reverse loads both moved the counts to the same side of the zero, which no transducer does: one of the two senses was loaded on the wrong side. Turn the arm round and take that sense again.',
    );
  }
  const difference = 100 * (Math.max(ratio, 1 / ratio) - 1);
  if (difference <= SENSES_DIFFER_PERCENT) return [];
  const slip = unitSlip(ratio);
  return find(
    'senses-differ',
    'look',
    `The gains of forward and reverse differ by ${percent(difference, 1)}. ` +
      (slip === null
        ? 'Check arm and weights in both senses.'
        : `That is the ratio ${slip}: check the unit in both senses.`),
  );
}

/** N m per count at the highest step. */
export function gainOf({ steps }: Pick<SenseResult, 'steps'>): number {
  const top = steps.at(-1);
  return top === undefined ? Number.NaN : top.torqueNm / top.fittedCounts;
}

function unitSlip(ratio: number): string | null {
  const larger = Math.max(Math.abs(ratio), 1 / Math.abs(ratio));
  for (const { ratio: known, words } of unitRatios) {
    const factor = Math.max(known, 1 / known);
    if (Math.abs(larger / factor - 1) < UNIT_TOLERANCE) return words;
  }
  return null;
}

export const senseNames: Readonly<Record<Direction, string>> = { forward: 'Forward', reverse: 'Reverse' };
