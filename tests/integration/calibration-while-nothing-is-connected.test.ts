import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Services } from '../../main/services.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';

let folder: ReturnType<typeof makeDataFolder>;
let services: RunningServices;

beforeEach(async () => {
  folder = makeDataFolder();
  services = await startRealServices(folder.path);
}, 60_000);
afterEach(async () => {
  await services.close();
  folder.remove();
});

async function restart(): Promise<void> {
  await services.close();
  services = await startRealServices(folder.path);
}

function saveByHand(handlers: Services['handlers'], label: string) {
  return handlers.saveCalibration({
    label,
    input: {
      method: 'direct',
      zeroCounts: 0,
      forward: { torqueNm: 200, counts: 800_000 },
      reverse: null,
    },
    enteredUncertaintyPercent: 0.5,
    note: '',
    supersedeReason: null,
  });
}

describe('the calibration in use, with nothing connected since the start', () => {
  it('is that of the transducer chosen last, which a new one would replace', async () => {
    await saveByHand(services.handlers, 'Of the first (demo)');
    // By name it would come first or last; neither is what is asked for.
    for (const name of ['A small one', 'Zenith']) await services.handlers.addTransducer({ name });
    const { transducers } = await services.handlers.listTransducers({});
    const chosen = transducers.find(({ name }) => name === 'Transducer 1');
    const zenith = transducers.find(({ name }) => name === 'Zenith');
    if (chosen === undefined || zenith === undefined) throw new Error('A transducer is missing');
    await services.handlers.activateTransducer({ transducerId: zenith.id });
    await saveByHand(services.handlers, 'Of another (demo)');
    await services.handlers.activateTransducer({ transducerId: chosen.id });
    await restart();

    expect(await services.status()).toMatchObject({ transducer: null, calibration: null });
    expect(await services.handlers.getCalibrationInUse({})).toMatchObject({
      transducer: { id: chosen.id },
      calibration: {
        label: 'Of the first (demo)',
        hasForward: true,
        hasReverse: false,
        isExpired: false,
        check: { state: 'none' },
      },
    });
    expect(() => saveByHand(services.handlers, 'Without a reason (demo)')).toThrow('Say why');
  });

  it('is none on a new bench, whose transducer is known already', async () => {
    expect(await services.handlers.getCalibrationInUse({})).toMatchObject({
      transducer: { name: 'Transducer 1', isSimulated: false },
      calibration: null,
    });
  });
});

describe('the calibrations of a transducer', () => {
  it('are listed while another one is on the bench, and with those of all', async () => {
    const saved = await saveByHand(services.handlers, 'Of the first (demo)');
    await services.handlers.connectSimulatedBench({});
    const { transducer } = await services.until(
      'the simulated transducer',
      (status) => status.transducer !== null,
    );
    const simulatedId = transducer?.id ?? '';
    const labelsOf = async (params: { transducerId?: string }) =>
      (await services.handlers.listCalibrations(params)).calibrations.map(({ label }) => label);
    expect(await labelsOf({ transducerId: saved.transducerId })).toEqual(['Of the first (demo)']);
    expect(await labelsOf({ transducerId: simulatedId })).not.toContain('Of the first (demo)');
    expect(await labelsOf({})).toEqual(
      expect.arrayContaining(['Of the first (demo)', ...(await labelsOf({ transducerId: simulatedId }))]),
    );
    expect(await services.handlers.getCalibrationInUse({})).toMatchObject({
      transducer: { id: simulatedId, isSimulated: true },
    });
  });
});
