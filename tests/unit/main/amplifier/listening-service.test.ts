import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import {
  createListeningService,
  type ListeningService,
} from '../../../../main/amplifier/listening-service.ts';
import { createLogger } from '../../../../main/platform/logger.ts';
import { listeningSchema, type Listening } from '../../../../shared-lib/amplifier/listening-model.ts';
import { AppError } from '../../../../shared-lib/app-error.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { readAtRate } from '../../../helpers/serial-line-model.ts';

const STEP_MS = 20;

/** A device at the other end of a modelled line: what it writes is read at the rate at which the port is open. */
interface Device {
  readonly baudRate: number;
  readonly rateHz: number;
  readonly write: (index: number) => string;
  /** Silence after each opening, while it starts anew. */
  readonly bootsMs?: number;
  readonly refusedRates?: readonly number[];
}

const random = createSeededRandom(21, 0);
const countsDevice: Device = {
  baudRate: 115_200,
  rateHz: 80,
  write: (index) => `${index},${Math.round(-123_456 + 60 * random.uniform())}\r\n`,
};

let timeUs = 0;
let service: ListeningService;
let device: Device | null = null;
let reports: { atUs: number; listening: Listening | null }[] = [];
let opened: number[] = [];
let openUs: number | null = null;
let openBaud = 0;
let written = 0;
let disconnects = 0;

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
  timeUs = 1_000_000;
  reports = [];
  opened = [];
  openUs = null;
  written = 0;
  disconnects = 0;
  device = countsDevice;
  service = createListeningService(
    {
      clock: { monotonicUs: () => timeUs, now: () => new Date(0) },
      log: createLogger(() => undefined),
      port: {
        listen(_path, baudRate) {
          if (device?.refusedRates?.includes(baudRate)) {
            return Promise.reject(new AppError('port-failed', 'The port could not be opened.'));
          }
          opened.push(baudRate);
          openBaud = baudRate;
          openUs = timeUs;
          written = 0;
          return Promise.resolve();
        },
        disconnect() {
          disconnects += 1;
          openUs = null;
          return Promise.resolve();
        },
      },
    },
    (listening) => reports.push({ atUs: timeUs, listening }),
  );
});
afterEach(() => {
  vi.useRealTimers();
});

/** Lets time pass while the device writes. */
async function wait(durationMs: number): Promise<void> {
  for (let passedMs = 0; passedMs < durationMs; passedMs += STEP_MS) {
    timeUs += STEP_MS * 1000;
    await vi.advanceTimersByTimeAsync(STEP_MS);
    if (device && openUs !== null) {
      const sinceUs = timeUs - openUs - (device.bootsMs ?? 0) * 1000;
      const due = Math.floor((sinceUs * device.rateHz) / 1e6);
      let text = '';
      for (; written < due; written += 1) text += device.write(written);
      if (text !== '') {
        const bytes = Uint8Array.from(text, (character) => character.charCodeAt(0));
        const heard = readAtRate(bytes, device.baudRate, openBaud, { keepsFramingErrors: true });
        service.heard(heard, timeUs);
      }
    }
    await vi.advanceTimersByTimeAsync(0);
    service.tick();
  }
}

function now(): Listening {
  const listening = service.current();
  if (!listening) throw new Error('Nobody listens');
  return listeningSchema.parse(listening);
}

describe('trying baud rates', () => {
  it('stays at the first rate that gives text in lines, and proposes how to read them', async () => {
    device = { ...countsDevice, baudRate: 57_600 };
    await service.start('/dev/somewhere', null);
    expect(now()).toMatchObject({ state: 'probing', baudRate: 115_200, proposals: [] });
    await wait(6000);
    const { state, baudRate, triedBaudRates, proposals, lines, lineRateHz } = now();
    expect({ state, baudRate }).toEqual({ state: 'listening', baudRate: 57_600 });
    expect(opened).toEqual([115_200, 9600, 57_600]);
    expect(triedBaudRates.map((trial) => [trial.baudRate, trial.sentence.slice(0, 8)])).toEqual([
      [115_200, 'Not text'],
      [9600, 'Not text'],
      [57_600, 'Text in '],
    ]);
    expect(proposals[0]?.profile).toMatchObject({
      id: 'sequence-counts',
      baudRate: 57_600,
      nominalRateHz: 80,
    });
    expect(lines).toHaveLength(40);
    expect(lineRateHz).toBeCloseTo(80, 0);
  });

  it('finds text at once where the first rate is right', async () => {
    await service.start('/dev/somewhere', null);
    await wait(200);
    expect(now().state).toBe('listening');
    expect(opened).toEqual([115_200]);
  });

  it('waits for slow lines, which may be text', async () => {
    device = { ...countsDevice, rateHz: 3 };
    await service.start('/dev/somewhere', null);
    await wait(2000);
    expect(now()).toMatchObject({ state: 'listening', baudRate: 115_200 });
  });

  it('passes over a rate that the port refuses', async () => {
    device = { ...countsDevice, baudRate: 57_600, refusedRates: [9600] };
    await service.start('/dev/somewhere', null);
    await wait(2000);
    expect(now()).toMatchObject({ state: 'listening', baudRate: 57_600 });
    expect(now().triedBaudRates[1]).toEqual({
      baudRate: 9600,
      readableShare: null,
      sentence: 'The port cannot be opened at this rate.',
    });
  });

  it('says after the first silent rates what to look at, tries the others, and fails', async () => {
    device = null;
    await service.start('/dev/somewhere', null);
    await wait(3300);
    expect(now()).toMatchObject({ state: 'probing', problem: { code: 'nothing-heard' } });
    expect(now().problem?.sentence).toContain('power');
    await wait(20_000);
    expect(now()).toMatchObject({ state: 'failed', baudRate: null, problem: { code: 'nothing-heard' } });
    expect(now().triedBaudRates).toHaveLength(12);
    expect(disconnects).toBe(1);
  });

  it('gives a board that starts anew at each opening the time that it takes', async () => {
    device = { ...countsDevice, baudRate: 9600, bootsMs: 2000 };
    await service.start('/dev/somewhere', null);
    await wait(25_000);
    expect(now()).toMatchObject({ state: 'listening', baudRate: 9600, problem: null });
    const rates = now().triedBaudRates.map(({ baudRate }) => baudRate);
    expect(new Set(rates).size).toBe(rates.length);
  });

  it('says that nothing is text where no rate makes it text', async () => {
    const noise = createSeededRandom(2, 0);
    device = {
      ...countsDevice,
      write: () =>
        Array.from({ length: 12 }, () => String.fromCharCode(Math.floor(256 * noise.uniform()))).join(''),
    };
    await service.start('/dev/somewhere', null);
    await wait(12_000);
    expect(now()).toMatchObject({ state: 'failed', problem: { code: 'not-text' }, proposals: [] });
  });
});

describe('listening', () => {
  it('says that a chosen rate is wrong', async () => {
    await service.start('/dev/somewhere', 9600);
    await wait(1500);
    expect(now()).toMatchObject({ state: 'listening', baudRate: 9600, problem: { code: 'not-text' } });
    expect(opened).toEqual([9600]);
  });

  it('says that no line ends', async () => {
    device = { ...countsDevice, write: () => '-123456 ' };
    await service.start('/dev/somewhere', 115_200);
    await wait(4000);
    expect(now().problem?.code).toBe('no-line-ends');
  });

  it('says when the device falls silent, and takes it back', async () => {
    await service.start('/dev/somewhere', 115_200);
    await wait(2000);
    device = null;
    await wait(2500);
    expect(now().problem?.code).toBe('nothing-heard');
    device = countsDevice;
    await wait(500);
    expect(now().problem).toBeNull();
  });

  it('reports at most five times a second', async () => {
    await service.start('/dev/somewhere', null);
    await wait(3000);
    const gapsUs = reports.slice(1).map(({ atUs }, index) => atUs - (reports[index]?.atUs ?? 0));
    expect(reports.length).toBeGreaterThan(10);
    expect(Math.min(...gapsUs)).toBeGreaterThanOrEqual(200_000);
  });

  it('keeps what was heard when the port is lost, and says what to do', async () => {
    await service.start('/dev/somewhere', 115_200);
    await wait(3000);
    service.ended('The port was closed by the system.');
    await wait(400);
    const listening = now();
    expect(listening.state).toBe('failed');
    expect(listening.problem?.sentence).toContain('/dev/somewhere was lost');
    expect(listening.proposals).not.toEqual([]);
    expect(reports.at(-1)?.listening).toEqual(listening);
  });

  it('ends where another connection takes the port', async () => {
    await service.start('/dev/somewhere', null);
    service.ended(null);
    expect(service.current()).toBeNull();
    expect(reports.at(-1)?.listening).toBeNull();
    await wait(2000);
    expect(opened).toEqual([115_200]);
    expect(disconnects).toBe(0);
  });

  it('lets go of the port when it is stopped', async () => {
    await service.start('/dev/somewhere', null);
    await service.stop();
    expect(service.current()).toBeNull();
    expect(disconnects).toBe(1);
    await wait(2000);
    expect(opened).toEqual([115_200]);
  });

  it('begins anew where it is started again', async () => {
    device = null;
    await service.start('/dev/one', null);
    await wait(500);
    device = countsDevice;
    await service.start('/dev/other', 115_200);
    await wait(2500);
    expect(now()).toMatchObject({ path: '/dev/other', state: 'listening', triedBaudRates: [] });
    expect(opened).toEqual([115_200, 115_200]);
  });

  it.each([null, 115_200])(
    'refuses with the error of a port that cannot be opened (%s)',
    async (baudRate) => {
      device = { ...countsDevice, refusedRates: [115_200] };
      await expect(service.start('/dev/somewhere', baudRate)).rejects.toMatchObject({ code: 'port-failed' });
      expect(service.current()).toBeNull();
    },
  );
});
