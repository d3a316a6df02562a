import { simulatedCalibration } from '../../shared-lib/simulation/simulated-transducer.ts';
import type { RunningPtyAmplifier } from './pseudo-terminal.ts';
import type { RunningServices } from './running-services.ts';

/**
 * Sets up the bench as a person would for a real amplifier: connect, capacity, a direct calibration in both senses, safety
 * list, zero, guided push. The device behind the port is the simulated one, whose gains are known.
 */
export async function prepareRealBench(
  bench: RunningServices,
  amplifier: RunningPtyAmplifier,
  setup: { profileId: string; rateHz: number; plannedS: number; rigUnloading?: 'holds' | 'releases' },
): Promise<void> {
  const { handlers } = bench;
  await handlers.connectAmplifier({
    path: amplifier.path,
    profileId: setup.profileId,
    baudRate: 921_600,
    nominalRateHz: setup.rateHz,
    converterBits: 24,
  });
  await bench.until('samples', ({ amplifier: { counters } }) => counters.samples > setup.rateHz);
  const { transducers } = await handlers.listTransducers({});
  const transducer = transducers.find(({ isSimulated }) => !isSimulated);
  if (!transducer) throw new Error('There is no transducer');
  await handlers.updateTransducer({
    id: transducer.id,
    name: 'Transducer 1',
    capacityNm: 1500,
    rigLimitNm: 1450,
    rigUnloading: setup.rigUnloading ?? 'releases',
  });
  const { meanCounts } = await handlers.captureCounts({});
  const zeroCounts = Math.round(meanCounts);
  const atTorque = (sense: 'forward' | 'reverse'): number => {
    const sign = sense === 'forward' ? 1 : -1;
    return zeroCounts + Math.round((sign * 1500) / simulatedCalibration[sense].gainNmPerCount);
  };
  await handlers.saveCalibration({
    label: 'From the certificate',
    input: {
      method: 'direct',
      zeroCounts,
      forward: { torqueNm: 1500, counts: atTorque('forward') },
      reverse: { torqueNm: 1500, counts: atTorque('reverse') },
    },
    enteredUncertaintyPercent: 0.5,
    note: '',
    supersedeReason: null,
  });
  await handlers.confirmSafety({});
  await handlers.takeZero({});
  const confirmed = handlers.confirmSense({});
  amplifier.simulated?.bench.push(60, 1);
  await confirmed;
  await new Promise((resolve) => setTimeout(resolve, 2500));
  await handlers.updateSettings({
    step: { toolName: 'Hollin H5', kind: 'tighten', direction: 'forward', plannedS: setup.plannedS },
  });
}
