import type { RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import {
  compareChosen,
  measuresToRead,
  runSheetsOf,
  trialsToMeasure,
} from '../../shared-lib/comparison/compare-chosen.ts';
import { dayToDayOfPair } from '../../shared-lib/comparison/day-to-day-of-bench.ts';
import { measureAlike } from '../../shared-lib/comparison/measure-alike.ts';
import { whyNotMeasured } from '../../shared-lib/comparison/measure-words.ts';
import { scaleOfCalibration } from '../../shared-lib/standings/scale-of-calibration.ts';
import type { RequestHandlers } from '../services.ts';
import { getCalibration, getCalibrationResult } from '../storage/calibration-repository.ts';
import { marginBefore } from '../storage/margin-repository.ts';
import { plannedRoundsOf, scoreOf } from '../storage/scored-trials.ts';
import { readPair } from './asked-pair.ts';
import type { ComparisonTools } from './comparison-tools.ts';
import type { MeasuringAnew } from './measured-values.ts';
import { referenceDrifts } from './reference-drifts.ts';

/** Two contenders by one measure, with everything that the answer rests on. */
export function createComparePart(
  { database, qualityGate }: Pick<ComparisonTools, 'database' | 'qualityGate'>,
  anew: MeasuringAnew,
): { readonly handlers: Pick<RequestHandlers, 'compare'> } {
  const compare = async ({
    measure,
    ...asked
  }: RequestParams<'compare'>): Promise<RequestResult<'compare'>> => {
    const { step } = asked;
    const gate = qualityGate();
    const pair = readPair(database, asked, gate);
    const why = whyNotMeasured(step, measure);
    if (why !== null) return { result: null, notComparable: { reasons: [why] } };
    if ('reasons' in pair.choice) {
      return { result: null, notComparable: { reasons: pair.choice.reasons } };
    }
    const { chosen } = pair.choice;
    const taken = trialsToMeasure(chosen);
    const alike = await measureAlike(anew, taken, measuresToRead(step, measure));
    return {
      notComparable: null,
      result: compareChosen({
        step,
        measure,
        gate,
        a: pair.a,
        b: pair.b,
        contenderOf: pair.contenderOf,
        chosen,
        alike,
        storedValue: (score) => scoreOf(score, measure),
        marginPercent: marginBefore(database, measure.figure, chosen.sessionIds),
        planned: plannedRoundsOf(database, runSheetsOf(taken)),
        dayToDayOf: (one) => dayToDayOfPair(pair.scores, chosen, gate, (score) => scoreOf(score, one)),
        scaleOf: (id) =>
          scaleOfCalibration(getCalibration(database, id), getCalibrationResult(database, id)).uncertainty,
        referenceDrift: referenceDrifts(database, chosen.sessionIds, gate),
      }),
    };
  };

  return { handlers: { compare } };
}
