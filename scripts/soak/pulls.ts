import { setTimeout as wait } from 'node:timers/promises';
import { simulatedCalibration } from '../../shared-lib/simulation/simulated-transducer.ts';
import type { SerialWriter } from '../perf/serial-turns.ts';
import { untilStatus, type Window } from './second-window.ts';

export interface BenchOfSoak {
  readonly window: Window;
  readonly writer: SerialWriter;
  readonly path: string;
  readonly rateHz: number;
}

const PLANNED_S = 15;
const LOAD_NM = 900;
const ATTEMPTS = 60;

/** As a person sets up a real amplifier: connect, capacity, calibration in both senses, safety list, zero, guided push. */
export async function setUpBench({ window, writer, path, rateHz }: BenchOfSoak): Promise<void> {
  await window.request('connectAmplifier', {
    path,
    profileId: 'sequence-time-counts-checksum',
    baudRate: 921_600,
    nominalRateHz: rateHz,
    converterBits: 24,
  });
  await untilStatus(window, 'samples', (status) => status.amplifier.counters.samples > 2 * rateHz, 20_000);
  const { transducers } = await window.request('listTransducers', {});
  const transducer = transducers.find(({ isSimulated }) => !isSimulated);
  if (!transducer) throw new Error('There is no transducer');
  await window.request('updateTransducer', {
    id: transducer.id,
    name: 'Transducer 1',
    capacityNm: 1500,
    rigLimitNm: 1450,
    rigUnloading: 'releases',
  });
  const zeroCounts = Math.round((await again(() => window.request('captureCounts', {}))).meanCounts);
  const at = (sense: 'forward' | 'reverse', sign: 1 | -1) => ({
    torqueNm: 1500,
    counts: zeroCounts + Math.round((sign * 1500) / simulatedCalibration[sense].gainNmPerCount),
  });
  await window.request('saveCalibration', {
    label: 'From the certificate',
    input: { method: 'direct', zeroCounts, forward: at('forward', 1), reverse: at('reverse', -1) },
    enteredUncertaintyPercent: 0.5,
    note: '',
    supersedeReason: null,
  });
  await window.request('confirmSafety', {});
  await again(() => window.request('takeZero', {}));
  const confirmed = window.request('confirmSense', {});
  writer.send({ type: 'load', torqueNm: 60, durationS: 1 });
  await confirmed;
  await window.request('updateSettings', {
    step: { toolName: 'Hollin H5', kind: 'tighten', direction: 'forward', plannedS: PLANNED_S },
  });
}

export interface Pull {
  readonly state: string;
  readonly slots: number;
  readonly lostSlots: number;
}

/** One trial from arming to its end; kept as an operator would where it waits for a decision. */
export async function pullOnce({ window, writer }: BenchOfSoak): Promise<Pull> {
  await again(async () => {
    await window.request('takeZero', {});
    await window.request('armTrial', {});
  });
  await untilStatus(window, 'the go', ({ trial }) => trial.phase === 'waiting', 20_000);
  writer.send({ type: 'load', torqueNm: LOAD_NM, durationS: PLANNED_S + 0.3 });
  const { trial } = await untilStatus(
    window,
    'the end of the trial',
    ({ trial: { phase } }) => phase === 'kept' || phase === 'reviewing' || phase === 'interrupted',
    (PLANNED_S + 30) * 1000,
  );
  if (trial.phase !== 'kept' && trial.phase !== 'reviewing' && trial.phase !== 'interrupted') {
    throw new Error('A trial has no end');
  }
  const { trialId } = trial;
  const { summary, lostSlots, slotCount } = await window.request('getTrial', { trialId });
  if (trial.phase === 'reviewing') await window.request('keepTrial', { trialId });
  if (trial.phase === 'interrupted') {
    await window.request('voidTrial', { trialId, reason: 'Cut off in the long run.' });
  }
  return { state: summary.state, slots: slotCount, lostSlots };
}

/** The bench refuses while something still moves. */
async function again<Result>(ask: () => Promise<Result>): Promise<Result> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      return await ask();
    } catch (refusal) {
      if (attempt === ATTEMPTS) throw refusal;
      await wait(500);
    }
  }
}
