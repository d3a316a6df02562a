import { formatDuration } from '../format-quantity.ts';
import { evenInstants } from './curve-instants.ts';
import { sustainedTorqueNm } from './measures.ts';
import { refusedForGaps } from './refuse-measure.ts';
import { theilSen } from './theil-sen.ts';
import type { Endurance, Measure } from './trial-model.ts';
import { indicesBetween, recordedAfterOnsetS, type TrialRun } from './trial-run.ts';

/** A tenth of it holds two holds of the sustained torque (ours). */
const LEAST_PULLED_S = 5;
const SLOPE_INSTANTS = 100;
const LOW_SHARE = 0.8;
/** As the sustained torque is held. */
const HOLD_S = 0.25;
/** Less than this before the tool stopped, low torque is the stopping itself (ours). */
const CLEAR_OF_STOP_S = 1;

/**
 * Kind endurance: what becomes of the torque while the tool pulls, `pulledS` from onset: up to its early stop, else up to
 * the planned time, or to the end of a record that was cut short.
 *
 * `firstNm`, `lastNm`: the sustained torque (held for 250 ms) of the first and of the last tenth of that time.
 * `fadePercent`: by how much the last is less than the first, in percent of the first; negative where it is more.
 * `fadePercentPerMin`: Theil-Sen slope of the measuring curve at 100 evenly spaced instants of the other nine tenths, which
 * leave out the rise; in percent of the first per minute, positive where the torque falls.
 * `under80PercentS`: the end of the last 250 ms in which the measuring curve held 80 % of the first; null where that lies
 * in the tool's last second, which is its stopping, or in the last 250 ms.
 *
 * Refused under 5 s.
 */
export function endurance(run: TrialRun, earlyStopS: number | null): Endurance {
  const pulledS = earlyStopS ?? Math.min(run.plannedS, recordedAfterOnsetS(run));
  if (pulledS < LEAST_PULLED_S) {
    return {
      refused:
        `The tool pulled for ${formatDuration(pulledS, 2)}; ` +
        `what fades shows from ${formatDuration(LEAST_PULLED_S, 0)} on.`,
    };
  }
  const first = sustainedBetween(run, 0, pulledS / 10);
  const last = sustainedBetween(run, 0.9 * pulledS, pulledS);
  if ('refused' in first) return first;
  if ('refused' in last) return last;
  if (!(first.value > 0)) {
    return { refused: 'No torque was held in the direction of the step in the first tenth of the time.' };
  }
  const instants = evenInstants(run, pulledS / 10, pulledS, SLOPE_INSTANTS);
  if (instants === null) return refusedForGaps('The fade');
  const slopeNmPerS = theilSen(instants.timesS, instants.torqueNm).slope;
  return {
    firstNm: first.value,
    lastNm: last.value,
    fadePercent: 100 * (1 - last.value / first.value),
    fadePercentPerMin: (-6000 * slopeNmPerS) / first.value,
    under80PercentS: lowForGoodS(run, LOW_SHARE * first.value, pulledS, earlyStopS !== null),
    pulledS,
  };
}

function sustainedBetween(run: TrialRun, fromS: number, toS: number): Measure {
  const onsetIndex = run.onsetIndex + fromS * run.sampleRateHz;
  return sustainedTorqueNm({ ...run, onsetIndex, plannedS: toS - fromS });
}

/** The end of the last stretch of 250 ms in which the curve held a level. */
function lowForGoodS(run: TrialRun, levelNm: number, pulledS: number, hasStopped: boolean): number | null {
  const holdSamples = Math.round(HOLD_S * run.nominalRateHz);
  const { first, end } = indicesBetween(run, 0, pulledS);
  let heldSamples = 0;
  let lastS = 0;
  for (let i = first; i < end; i += 1) {
    heldSamples = (run.measuringNm[i] ?? Number.NaN) >= levelNm ? heldSamples + 1 : 0;
    if (heldSamples >= holdSamples) lastS = (i - run.onsetIndex) / run.sampleRateHz;
  }
  return pulledS - lastS > (hasStopped ? CLEAR_OF_STOP_S : HOLD_S) ? lastS : null;
}
