import { type ClockDescription, describeClock } from '../../shared-lib/signal/describe-clock.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';

/** What the clock of a trial promises for its times, for as long as the trial is. */
export function describeTrialClock(record: TrialRecord): ClockDescription {
  const { conditions, sampleRateHz, rateResidualUs, rateStandardErrorHz, slotCount } = record;
  const { clockSource, profile } = conditions;
  const { nominalRateHz, sequence, deviceTimeUs } = profile;
  const counter = { sequence, deviceTime: deviceTimeUs, arrival: null }[clockSource];
  return describeClock({
    source: clockSource,
    nominalRateHz,
    sampleRateHz,
    residualUs: rateResidualUs,
    rateStandardErrorHz,
    modulus: counter?.modulus ?? null,
    durationS: slotCount / (sampleRateHz ?? nominalRateHz),
  });
}
