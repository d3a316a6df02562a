import { analyseRinging } from '../../shared-lib/calibration/analyse-ringing.ts';
import type { Ringing } from '../../shared-lib/calibration/daily-check-model.ts';
import { SIMULATED_TAP } from '../bench/simulated-bench-target.ts';
import { getCalibration } from '../storage/calibration-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { insertRinging, newestRinging } from '../storage/ringing-repository.ts';
import type { CalibrationPart, CalibrationTools } from './calibration-tools.ts';
import { ringingTorqueNm, showRinging } from './show-ringing.ts';

export type RingingPart = CalibrationPart<'recordRinging' | 'getRinging'>;

/** Watches for a tap and tells how the rig rings. */
export function createRingingPart(tools: CalibrationTools): RingingPart {
  const { platform, database, bench, amplifier, ringingWatch, settings } = tools;
  const { clock } = platform;

  const record = async (): Promise<Ringing> => {
    const chain = bench.readyChain('Recording how the rig rings');
    const watched = ringingWatch.start({
      sampleRateHz: chain.sampleRateHz,
      capacityNm: chain.capacityNm,
      nowUs: clock.monotonicUs(),
    });
    // Half a second of rest comes first. Only the simulated bench has somebody to tap it.
    if (amplifier.status().source === 'simulated') amplifier.pull(SIMULATED_TAP);
    const { counts, tapSlot } = await watched;
    const measured = {
      transducerId: chain.transducer.id,
      calibrationId: chain.calibration.id,
      at: clock.now().toISOString(),
      operator: settings.current().operator,
      sampleRateHz: chain.sampleRateHz,
      zeroCounts: chain.zero.counts,
      senseSign: chain.transducer.senseSign,
      tapSlot,
      counts,
    };
    const torqueNm = ringingTorqueNm(measured, chain.calibration);
    const analysis = analyseRinging({
      torqueNm,
      sampleRateHz: chain.sampleRateHz,
      antiAliasHz: chain.antiAliasHz,
    });
    const stored = await retryWhenLocked(() => insertRinging(database, { ...measured, analysis }));
    return showRinging(stored, torqueNm);
  };

  return {
    handlers: {
      recordRinging: record,
      getRinging() {
        const stored = newestRinging(database, bench.activeTransducer().id);
        if (!stored) return { ringing: null };
        const torqueNm = ringingTorqueNm(stored, getCalibration(database, stored.calibrationId));
        return { ringing: showRinging(stored, torqueNm) };
      },
    },
    receive(samples) {
      ringingWatch.receive(samples);
    },
    amplifierLost() {
      ringingWatch.amplifierLost();
    },
    tick() {
      ringingWatch.tick(clock.monotonicUs());
    },
    close: () => undefined,
  };
}
