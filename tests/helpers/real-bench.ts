import { AppError } from '../../shared-lib/app-error.ts';
import { simulatedCalibration } from '../../shared-lib/simulation/simulated-transducer.ts';
import type { RunningServices } from './running-services.ts';

/** A port and, where the device behind it is simulated, the way to push its transducer. */
export interface PushableAmplifier {
  readonly path: string;
  readonly simulated: {
    readonly bench: { readonly push: (torqueNm: number, durationS: number) => unknown };
  } | null;
}

/**
 * Sets up the bench as a person would for a real amplifier: connect, capacity, a direct calibration in both senses, safety
 * list, zero, guided push. The device behind the port is the simulated one, whose gains are known.
 */
export async function prepareRealBench(
  bench: RunningServices,
  amplifier: PushableAmplifier,
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
  const meanCounts = await restingCounts(bench);
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

/** At high rates the first second can have losses: the reader is still being compiled. */
async function restingCounts({ handlers }: RunningServices): Promise<number> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      return (await handlers.captureCounts({})).meanCounts;
    } catch (refusal) {
      if (!(refusal instanceof AppError) || refusal.code !== 'amplifier-silent' || attempt === 20)
        throw refusal;
      await new Promise((resolve) => setTimeout(resolve, 250));
    }
  }
}
