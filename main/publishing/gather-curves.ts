import { setImmediate } from 'node:timers/promises';
import { drawnSign } from '../../shared-lib/charts/drawn-sign.ts';
import type { DrawnCurve } from '../../shared-lib/charts/trial-chart.ts';
import type { TrialCurve } from '../../shared-lib/api-contract.ts';
import type { ComparedStep } from '../../shared-lib/comparison/trial-measure.ts';
import type { ShareTools } from '../share-tools.ts';

/** More points are not seen at the width of a picture. */
const MOST_POINTS = 2000;
/** Around the planned time. */
const BEFORE_SHARE = 0.05;
const AFTER_S = 1;

/** Curves as they are drawn, one after the other, so that the bench gets its turn in between. Errors: those of `getTrialCurve`. */
export async function gatherCurves(
  shown: Pick<ShareTools['shown'], 'getTrialCurve'>,
  trialIds: readonly string[],
  step: ComparedStep,
): Promise<Map<string, DrawnCurve>> {
  const curves = new Map<string, DrawnCurve>();
  for (const trialId of trialIds) {
    const curve = await shown.getTrialCurve({
      trialId,
      fromS: -BEFORE_SHARE * step.plannedS,
      toS: step.plannedS + AFTER_S,
      bins: MOST_POINTS,
    });
    curves.set(trialId, { trialId, ...inDirection(forTheEye(curve), drawnSign(step)) });
    await setImmediate();
  }
  return curves;
}

/** The display curve; below its rate the measuring curve; where there is neither, the samples themselves. */
function forTheEye(curve: TrialCurve): Omit<DrawnCurve, 'trialId'> {
  if (curve.displayNm.length > 0) return { timeS: curve.displayTimeS, torqueNm: curve.displayNm };
  if (curve.measuringNm.length > 0) return { timeS: curve.measuringTimeS, torqueNm: curve.measuringNm };
  const { minNm, maxNm, binStartS, binWidthS } = curve;
  const points = Array.from(minNm, (low, bin): { atS: number; valueNm: number }[] => {
    const atS = binStartS + bin * binWidthS;
    const high = maxNm[bin] ?? low;
    return low === high || Number.isNaN(low)
      ? [{ atS, valueNm: low }]
      : [
          { atS, valueNm: low },
          { atS: atS + binWidthS / 2, valueNm: high },
        ];
  }).flat();
  return {
    timeS: Float64Array.from(points, ({ atS }) => atS),
    torqueNm: Float64Array.from(points, ({ valueNm }) => valueNm),
  };
}

function inDirection(
  { timeS, torqueNm }: Omit<DrawnCurve, 'trialId'>,
  sign: 1 | -1,
): Omit<DrawnCurve, 'trialId'> {
  return { timeS, torqueNm: sign === 1 ? torqueNm : torqueNm.map((value) => -value) };
}
