import type { TrialConditions, TrialFigures, TrialSummary } from '../../shared-lib/trial/trial-model.ts';

/** What a trial has that was pulled without a run sheet. */
export const outsideOfSheet = {
  setup: null,
  place: null,
  preparation: null,
  restedS: null,
  plannedRestS: null,
} as const satisfies Partial<TrialConditions>;

export const unmarked = {
  setup: null,
  place: null,
  hasNote: false,
  tags: [],
} satisfies Partial<TrialSummary>;

const notAskedFor = { refused: 'Not asked for in this test.' };

/** The figures that a test does not look at. */
export const otherFigures = {
  stillClimbingPercentPerS: notAskedFor,
  levelledOffSinceS: null,
  impulseNms: notAskedFor,
  riseNmPerS: notAskedFor,
  riseModel: notAskedFor,
  blowRateHz: notAskedFor,
  stallTorqueNm: null,
  breakaway: null,
  endurance: null,
  triggerS: null,
} as const satisfies Partial<TrialFigures>;
