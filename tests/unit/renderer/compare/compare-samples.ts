import type {
  ComparedTrial,
  Comparison,
  Contender,
  Side,
} from '../../../../shared-lib/comparison/comparison-model.ts';
import type { ComparedStep } from '../../../../shared-lib/comparison/trial-measure.ts';
import type { ListedContender, ListedContenders } from '../../../../renderer/compare/choose-pair.ts';
import { demoSetup, otherSetup } from '../../../helpers/scripted-sheet.ts';

/** Invented tools and figures for what Compare shows. */
export const forward5: ComparedStep = { kind: 'tighten', direction: 'forward', plannedS: 5 };
export const reverse10: ComparedStep = { kind: 'tighten', direction: 'reverse', plannedS: 10 };

export const hollin: Contender = {
  key: 'setup:hollin',
  label: 'Hollin H5, pack 2',
  toolName: 'Hollin H5',
  toolId: 'tool-hollin',
  setup: demoSetup,
  isSimulated: true,
};
export const tarnwick: Contender = {
  ...hollin,
  key: 'setup:tarnwick',
  label: 'Tarnwick T6, pack 1',
  toolName: 'Tarnwick T6',
  toolId: 'tool-tarnwick',
  setup: otherSetup,
};
export const brindlow: Contender = {
  key: 'name:brindlow b4',
  label: 'Brindlow B4',
  toolName: 'Brindlow B4',
  toolId: null,
  setup: null,
  isSimulated: true,
};

interface StepListed {
  readonly step: ComparedStep;
  readonly sessionIds: readonly string[];
  readonly keptCount?: number;
}

export function listed(contender: Contender, steps: readonly StepListed[]): ListedContender {
  return {
    ...contender,
    lastTestedAt: '2026-03-04T10:00:00.000Z',
    steps: steps.map(({ step, sessionIds, keptCount = 3 }) => ({
      step,
      keptCount,
      sessionIds: [...sessionIds],
    })),
  };
}

/** Sessions s1, s2 and s3 on three days, the last of them the newest. */
export function listing(contenders: readonly ListedContender[]): ListedContenders {
  return {
    contenders: [...contenders],
    sessions: [3, 2, 1].map((day) => ({
      id: `s${day}`,
      startedAt: `2026-03-0${day}T08:00:00.000Z`,
      operator: day === 1 ? '' : 'Demo operator',
    })),
  };
}

export function trial(
  contender: Contender,
  minute: number,
  value: number | null,
  changes: Partial<ComparedTrial> = {},
): ComparedTrial {
  return {
    trialId: `${contender.key} ${minute}`,
    contenderKey: contender.key,
    sessionId: 's3',
    startedAt: new Date(Date.UTC(2026, 2, 3, 9, minute)).toISOString(),
    round: 1,
    isReference: false,
    value,
    leftOutBecause: null,
    ...changes,
  };
}

export function side(contender: Contender, mean: number, changes: Partial<Side> = {}): Side {
  return {
    contender,
    count: 3,
    noValueCount: 0,
    mean,
    scatter: 0.012,
    sessionCount: 1,
    doneRounds: 3,
    plannedRounds: 5,
    ...changes,
  };
}

export function comparison(changes: Partial<Comparison> = {}): Comparison {
  return {
    measure: { figure: 'sustainedTorque' },
    step: forward5,
    better: 'more',
    marginPercent: 5,
    gate: 'goodAndLook',
    a: side(hollin, 560),
    b: side(tarnwick, 500),
    verdict: 'aheadByMargin',
    isProvisional: true,
    sentence: 'Hollin H5 is ahead of Tarnwick T6.',
    cautions: ['Static calibration; dynamic error not included.'],
    isLikeForLike: true,
    isAcrossSessions: false,
    confidence: 0.95,
    ratio: { ratio: 1.12, low: 1.08, high: 1.16 },
    levelInterval: { ratio: 1.12, low: 1.09, high: 1.15 },
    difference: { value: 60, low: 40, high: 80 },
    standardErrorLn: 0.0124,
    degreesOfFreedom: 4,
    scatter: {
      way: 'rounds',
      standardDeviation: 0.0152,
      degreesOfFreedom: 4,
      contenderCount: 3,
      roundEffect: { standardDeviation: 0.008, f: 1.3, p: 0.37, isClear: false },
      sentence: 'From the residuals of 3 complete rounds of 3 setups.',
    },
    dayToDay: null,
    effectSize: null,
    permutationP: null,
    roundsToDecide: { rounds: 4, sentence: 'With 4 rounds a difference of 5 % is found in 80 % of cases.' },
    checkpoints: [
      { atS: 1, ratio: { ratio: 0.98, low: 0.93, high: 1.04 }, isClear: false },
      { atS: 2, ratio: { ratio: 1.07, low: 1.02, high: 1.12 }, isClear: true },
      { atS: 5, ratio: null, isClear: false },
    ],
    leadStartsAtS: 2,
    referenceDrift: [],
    trials: [trial(hollin, 1, 561), trial(tarnwick, 2, 499)],
    others: [],
    ...changes,
  };
}
