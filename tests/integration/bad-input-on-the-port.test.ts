import { randomBytes } from 'node:crypto';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { SerialPort } from 'serialport';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { AppError } from '../../shared-lib/app-error.ts';
import { openPseudoTerminal, type PseudoTerminal } from '../../main/simulation/pseudo-terminal.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;
let terminal: PseudoTerminal;

beforeEach(async () => {
  folder = makeDataFolder();
  bench = await startRealServices(folder.path);
  await bench.handlers.listPorts({});
  terminal = openPseudoTerminal();
});
afterEach(async () => {
  // Once it is closed, its name may be that of a test beside this one.
  await bench.close();
  terminal.close();
  folder.remove();
});

const settings = (path: string) => ({
  path,
  profileId: 'sequence-time-counts-checksum',
  baudRate: 115_200,
  nominalRateHz: 80,
  converterBits: 24,
});

/** Writes all of it, however small the port's buffer is. */
async function writeAll(bytes: Uint8Array): Promise<void> {
  for (let sent = 0; sent < bytes.length;) {
    sent += terminal.write(bytes.subarray(sent, sent + 8192));
    await wait(1);
  }
}

const goodLines = Buffer.from('$1,13,7*04\n$2,25,8*0D\n$3,38,-9*2C\n');

async function refusal(attempt: Promise<unknown>): Promise<AppError> {
  const error = await attempt.then(
    () => null,
    (reason: unknown) => reason,
  );
  if (error instanceof AppError) return error;
  throw new Error(`It was not refused: ${String(error)}`);
}

describe('what comes in over the port', () => {
  it('may be binary noise: it is counted and shown, and the lines after it are read', async () => {
    await bench.handlers.connectAmplifier(settings(terminal.slavePath));
    await writeAll(Buffer.concat([randomBytes(200_000), Buffer.from('\n')]));
    await writeAll(goodLines);
    const { amplifier } = await bench.until(
      'the good lines',
      ({ amplifier: { counters } }) => counters.samples === 3,
    );
    expect(amplifier.counters.badLines).toBeGreaterThan(100);
    expect(amplifier.lastBadLine).not.toBeNull();
  });

  it('may be lines of another form: the status says so, rather than that nothing comes', async () => {
    await bench.handlers.connectAmplifier(settings(terminal.slavePath));
    await writeAll(Buffer.from('start\n'));
    const isSaid = async (): Promise<boolean> => {
      await writeAll(Buffer.from('torque 12.5\n'));
      return (
        (await bench.status()).amplifier.problem?.sentence.includes(
          'none can be read as "sequence, time, counts, checksum"',
        ) === true
      );
    };
    await expect.poll(isSaid, { timeout: 30_000, interval: 20 }).toBe(true);
    const { amplifier } = await bench.status();
    expect(amplifier.lastBadLine).toBe('torque 12.5');
  });

  it('may be 10 MB without a line end: it is one bad line, and reading goes on at once behind it', async () => {
    await bench.handlers.connectAmplifier(settings(terminal.slavePath));
    await writeAll(Buffer.from('begin\n'));
    await writeAll(Buffer.alloc(10 * 2 ** 20, 'x'));
    await writeAll(Buffer.from('\n'));
    await writeAll(goodLines);
    const { amplifier } = await bench.until(
      'the good lines',
      ({ amplifier: { counters } }) => counters.samples === 3,
    );
    expect(amplifier.counters.badLines).toBeLessThanOrEqual(2);
  });
});

describe('a port that cannot be opened', () => {
  it('is refused while another program holds it, and opens once that has let go', async () => {
    const other = new SerialPort({ path: terminal.slavePath, baudRate: 9600, autoOpen: false });
    await new Promise<void>((resolve, reject) => {
      other.open((error) => {
        if (error) reject(error);
        else resolve();
      });
    });
    const error = await refusal(
      bench.handlers.connectAmplifier(settings(terminal.slavePath)) as Promise<unknown>,
    );
    expect(error.code).toBe('port-busy');
    expect((await bench.status()).amplifier).toMatchObject({
      link: 'failed',
      problem: { code: 'port-busy' },
    });

    await new Promise<void>((resolve) => {
      other.close(() => {
        resolve();
      });
    });
    await bench.handlers.connectAmplifier(settings(terminal.slavePath));
    expect((await bench.status()).amplifier.link).toBe('connected');
  });

  it('is refused where there is none, with what to do', async () => {
    const error = await refusal(
      bench.handlers.connectAmplifier(settings(join(folder.path, 'no-port'))) as Promise<unknown>,
    );
    expect(error.code).toBe('port-not-found');
    expect(error.message).toContain('Plug the amplifier in');
  });

  it('is refused for a profile that does not exist', async () => {
    const error = await refusal(
      bench.handlers.connectAmplifier({ ...settings('/dev/null'), profileId: 'none' }) as Promise<unknown>,
    );
    expect(error.code).toBe('profile-not-found');
  });
});
