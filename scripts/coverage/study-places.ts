import type { Distributions } from '../../shared-lib/calibration/distributions.ts';
import type { ComparedStep } from '../../shared-lib/comparison/trial-measure.ts';
import { createSeededRandom } from '../../shared-lib/simulation/seeded-random.ts';
import { computeStandings } from '../../shared-lib/standings/compute-standings.ts';
import { measuresOfSchemes, trialMeasureKey } from '../../shared-lib/standings/measure-keys.ts';
import { drawPlaceRanges } from '../../shared-lib/standings/place-draws.ts';
import { doAtOnce } from '../../shared-lib/work-in-pieces.ts';
import type { SchemeVersion } from '../../shared-lib/standings/scheme-model.ts';
import type { StandingsInput } from '../../shared-lib/standings/standings-model.ts';

const AT = '2026-01-05T09:00:00.000Z';
const SUSTAINED = { figure: 'sustainedTorque' } as const;
const steps: readonly ComparedStep[] = [
  { kind: 'tighten', direction: 'forward', plannedS: 5 },
  { kind: 'tighten', direction: 'reverse', plannedS: 10 },
];

/** Points for torque both ways, one of them as a share of the best, as testers like to do it. */
const scheme: SchemeVersion = {
  schemeId: 'study',
  version: 1,
  name: 'Both ways',
  note: '',
  operator: '',
  createdAt: AT,
  isNormalised: false,
  terms: steps.map((step, index) => ({
    id: `term-${String(index)}`,
    label: step.direction,
    measure: { of: 'trial', step, measure: SUSTAINED },
    better: 'more',
    how: index === 0 ? { way: 'perUnit', points: 1, amount: 10 } : { way: 'shareOfBest', points: 50 },
    factor: 1,
    cap: null,
    missing: 'notRanked',
  })),
};

/** How often equal tools all have every place in their range at once, by points. */
export function pointsHoldAllPlaces(
  question: {
    readonly tools: number;
    readonly rounds: number;
    readonly scatter: number;
    readonly draws: number;
  },
  count: number,
  distributions: Distributions,
): number {
  let held = 0;
  for (let seed = 0; seed < count; seed += 1) {
    const input = equalTools(question, seed);
    const { ranges } = doAtOnce(
      drawPlaceRanges(input, computeStandings(input), { seed, drawCount: question.draws }, distributions),
    );
    // Whoever has no range is said to be separated from nobody.
    if (ranges.every(({ bestPlace, worstPlace }) => bestPlace === 1 && worstPlace === question.tools)) {
      held += 1;
    }
  }
  return held / count;
}

function equalTools(
  { tools, rounds, scatter }: { readonly tools: number; readonly rounds: number; readonly scatter: number },
  seed: number,
): StandingsInput {
  const random = createSeededRandom(seed, 0);
  const keys = [...Array(tools).keys()].map((tool) => `setup:t${String(tool)}`);
  const measures = measuresOfSchemes([scheme]);
  return {
    table: {
      id: 'study',
      name: 'Study',
      schemeId: scheme.schemeId,
      toolClasses: [],
      driveSizes: [],
      supplies: [],
      isSimulated: true,
      gate: 'goodOnly',
      currency: 'EUR',
      isArchived: false,
    },
    schemes: [scheme],
    measures,
    subjects: keys.map((key) => ({
      contender: { key, label: key, toolName: key, toolId: key, setup: null, isSimulated: true },
      toolClass: null,
      driveSize: null,
      supply: null,
      properties: [],
      notRankedBecause: null,
    })),
    trials: steps.flatMap((step) =>
      [...Array(rounds).keys()].flatMap((round) =>
        keys.map((key) => ({
          trialId: `${key} ${step.direction} ${String(round)}`,
          key,
          sessionId: 's1',
          startedAt: AT,
          evaluationId: 1,
          calibrationId: 'c1',
          direction: step.direction,
          values: [
            {
              measure: measures.indexOf(trialMeasureKey({ step, measure: SUSTAINED })),
              value: 500 * Math.exp(scatter * random.gaussian()),
            },
          ],
          leftOutBecause: null,
        })),
      ),
    ),
    rates: [],
    calibrations: [{ calibrationId: 'c1', label: 'Study', uncertainty: 0.005 }],
    dayToDay: measures.map(() => null),
  };
}
