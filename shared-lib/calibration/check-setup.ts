import { formatNumber, formatQuantity, THIN_SPACE } from '../format-quantity.ts';
import { angleTerms, appliedTorqueNm } from './applied-torque.ts';
import { siteFindings } from './check-site.ts';
import { massFindings } from './check-weights.ts';
import { loadLimitFindings, torqueWords } from './load-limits.ts';
import type { Finding } from './result-model.ts';
import type { RunSeries, RunSetup } from './run-model.ts';
import type { Arm, StatedUncertainty } from './standards-model.ts';

export interface SetupToCheck {
  readonly setup: RunSetup;
  /** Calendar day, such as 2026-03-31. */
  readonly today: string;
  readonly capacityNm: number | null;
  readonly rigLimitNm: number | null;
}

const LEAST_LEVELS: Readonly<Record<Exclude<RunSeries, 'twoArmLengths'>, number>> = {
  full: 3,
  notRemountable: 3,
  quick: 2,
};
/** Common practice, no source. */
const ADVISED_LEVELS = 5;
/** The full series asks for so many loads to the maximum before the first readings (design of the series; from memory). */
const ADVISED_EXERCISES = 3;
/** Ours, of the top torque: levels that lie closer are one level. */
const LEAST_RISE = 1e-3;
/** Ours: below this share of capacity zero and resolution weigh more than the weights do. */
const LOW_TOP_SHARE = 0.2;
/** Ours, in percent of the torque: more than any weight of class M3 and most arms are uncertain by. */
const WIDE_ANGLE_PERCENT = 0.1;

const seriesWords: Readonly<Record<RunSeries, string>> = {
  full: 'the full series',
  notRemountable: 'the series without remounting',
  quick: 'the quick series',
  twoArmLengths: 'the series at two arm lengths',
};

/**
 * What speaks against a setup before anything is hung: `stop` is refused, `look` and `note` stay with the run.
 * Errors: AppError 'input-out-of-range' from gravity, masses and lengths.
 */
export function checkSetup(input: SetupToCheck): Finding[] {
  const { setup, today } = input;
  const { site, way, arm } = setup;
  const levelsNm = setup.levels.map((weights) => appliedTorqueNm({ weights, arm, site, way }));
  return [
    ...seriesFindings(setup),
    ...(way === 'oneWeight' ? oneWeightFindings(setup) : levelCountFindings(setup, levelsNm)),
    ...risingFindings(levelsNm),
    ...loadFindings(input, Math.max(...levelsNm)),
    ...massFindings(setup.levels, today),
    ...armFindings(setup),
    ...siteFindings(site),
  ];
}

function find(code: string, severity: Finding['severity'], sentence: string): Finding {
  return { code, severity, sense: null, sentence };
}

function seriesFindings({ way, series, senses, exercises }: RunSetup): Finding[] {
  const findings: Finding[] = [];
  if ((way === 'oneWeight') !== (series === 'twoArmLengths')) {
    findings.push(
      find(
        'series-unfit',
        'stop',
        way === 'oneWeight'
          ? `One weight gives one torque on each arm, so ${seriesWords[series]} has nothing to climb. Take the series at two arm lengths, or hang several weights.`
          : 'The series at two arm lengths is made for one weight. Take the full, the quick or the series without remounting, or choose one weight.',
      ),
    );
  }
  if (new Set(senses).size < senses.length) {
    findings.push(
      find(
        'sense-twice',
        'stop',
        `The ${senses[0] ?? ''} sense is asked for twice, and one version holds one fit for each sense. Leave it once.`,
      ),
    );
  }
  if (series === 'full' && exercises < ADVISED_EXERCISES) {
    findings.push(
      find(
        'few-exercises',
        'note',
        `${countOf(exercises, 'exercise')} to the maximum before the first series; the full series has ${ADVISED_EXERCISES} (from memory). A mounting that has not settled reads differently the first time.`,
      ),
    );
  }
  return findings;
}

function levelCountFindings({ series }: RunSetup, levelsNm: readonly number[]): Finding[] {
  if (series === 'twoArmLengths') return [];
  const distinct = countDistinct(levelsNm);
  const least = LEAST_LEVELS[series];
  if (distinct < least) {
    return [
      find(
        'too-few-levels',
        'stop',
        `${countOf(distinct, 'level')} of torque; ${seriesWords[series]} needs at least ${least} different ones. Add levels, ${ADVISED_LEVELS} or more if the weights allow it.`,
      ),
    ];
  }
  if (distinct >= ADVISED_LEVELS) return [];
  return [
    find(
      'few-levels',
      'note',
      `${distinct} levels of torque can only carry a straight line and hardly show whether it is one. ${ADVISED_LEVELS} or more are better (common practice).`,
    ),
  ];
}

function oneWeightFindings({ levels, arm, shortArm }: RunSetup): Finding[] {
  const findings = [
    find(
      'single-weight',
      'note',
      'One weight gives a single-weight sensitivity: no class, valid up to the highest applied torque.',
    ),
  ];
  if (levels.length !== 1) {
    findings.push(
      find(
        'not-one-level',
        'stop',
        `One weight is hung at one level; ${levels.length} are set up. Leave one, or take weights on an arm.`,
      ),
    );
  }
  if (shortArm === null) {
    findings.push(
      find(
        'no-short-arm',
        'stop',
        'The second arm length is missing. Choose a shorter arm, half as long as the first if there is one.',
      ),
    );
  } else if (shortArm.lengthM >= arm.lengthM) {
    findings.push(
      find(
        'short-arm-not-shorter',
        'stop',
        `The second arm is ${formatQuantity(shortArm.lengthM, 'mm', 1)} long, the first ${formatQuantity(arm.lengthM, 'mm', 1)}: the second has to be the shorter one. Exchange them or choose another.`,
      ),
    );
  }
  return findings;
}

function risingFindings(levelsNm: readonly number[]): Finding[] {
  const leastRiseNm = LEAST_RISE * Math.max(...levelsNm.map(Math.abs));
  return levelsNm.flatMap((torqueNm, index) => {
    const belowNm = levelsNm[index - 1] ?? 0;
    if (torqueNm - belowNm >= leastRiseNm && torqueNm > 0) return [];
    return [
      find(
        'levels-not-rising',
        'stop',
        `Level ${index + 1} gives ${torqueWords(torqueNm)}, no more than ${index === 0 ? 'the bare arm' : `level ${index} with ${torqueWords(belowNm)}`}. Put the levels in the order of rising torque; a torque counts once.`,
      ),
    ];
  });
}

function loadFindings({ capacityNm, rigLimitNm }: SetupToCheck, topNm: number): Finding[] {
  const findings = loadLimitFindings('The top level', topNm, { capacityNm, rigLimitNm });
  if (capacityNm !== null && topNm > 0 && topNm < LOW_TOP_SHARE * capacityNm) {
    findings.push(
      find(
        'low-top',
        'note',
        `The top level, ${torqueWords(topNm)}, is ${percent((100 * topNm) / capacityNm, 0)} of capacity: the calibration ends there, and zero and resolution weigh heavily. Heavier weights or a longer arm reach further.`,
      ),
    );
  }
  return findings;
}

function armFindings({ way, arm, shortArm }: RunSetup): Finding[] {
  const arms = way === 'oneWeight' && shortArm !== null ? [arm, shortArm] : [arm];
  return arms.flatMap((one) => [
    ...lengthFindings(one),
    ...(way === 'loadCell' ? [] : [...angleFindings(one), ...ownMomentFindings(one)]),
  ]);
}

function lengthFindings({ name, lengthUncertaintyM }: Arm): Finding[] {
  if (!isExact(lengthUncertaintyM)) return [];
  return [
    find(
      'length-without-uncertainty',
      'look',
      `The length of “${name}” has an uncertainty of 0, which no measured length has, and it weighs as much as that of the torque itself. State how well it is known.`,
    ),
  ];
}

function ownMomentFindings({ name, own }: Arm): Finding[] {
  if (own === null) return [];
  return [
    find(
      'moment-of-arm',
      'look',
      `The moment of “${name}” itself (${formatQuantity(own.massKg, 'kg', 2)}, centre of gravity at ${formatQuantity(own.centreOfMassM, 'mm', 0)}) is computed, so zero is taken with the arm off, and nothing stands in the uncertainty for that mass and place. Better: take the zero with the bare arm fitted and leave its moment out.`,
    ),
  ];
}

function angleFindings(arm: Arm): Finding[] {
  if (arm.angleLimitDeg === 0) {
    return [
      find(
        'angle-without-limit',
        'look',
        `The angle of “${arm.name}” has a limit of 0°, so nothing stands for it in the uncertainty; at the horizontal the first order gives nothing either. State how far it may be off.`,
      ),
    ];
  }
  const variance = angleTerms(arm, 1).reduce((sum, term) => sum + term.standardUncertaintyNm ** 2, 0);
  const uncertaintyPercent = 100 * Math.sqrt(variance);
  if (uncertaintyPercent <= WIDE_ANGLE_PERCENT) return [];
  return [
    find(
      'wide-angle',
      'look',
      `“${arm.name}” at ${degrees(arm.angleDeg)} within ±${degrees(arm.angleLimitDeg)} makes the torque uncertain by ${percent(uncertaintyPercent, 2)} (standard uncertainty). Set it level with a spirit level or an inclinometer and state a closer limit.`,
    ),
  ];
}

function isExact(stated: StatedUncertainty): boolean {
  return stated.kind === 'limit' && stated.limit === 0;
}

function countDistinct(levelsNm: readonly number[]): number {
  const leastRiseNm = LEAST_RISE * Math.max(...levelsNm.map(Math.abs));
  const sorted = levelsNm.toSorted((one, other) => one - other);
  return sorted.filter((torqueNm, index) => index === 0 || torqueNm - (sorted[index - 1] ?? 0) >= leastRiseNm)
    .length;
}

function countOf(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? '' : 's'}`;
}

const percent = (value: number, decimals: number): string => `${formatNumber(value, decimals)}${THIN_SPACE}%`;
const degrees = (value: number): string => formatQuantity(value, 'deg', 1);
