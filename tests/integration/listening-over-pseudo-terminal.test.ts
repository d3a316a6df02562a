import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { Listening } from '../../shared-lib/amplifier/listening-model.ts';
import { armWhenAtRest } from '../helpers/arm-when-at-rest.ts';
import { untilKeptFrom } from '../helpers/end-of-trial.ts';
import { findRun } from '../helpers/find-run.ts';
import {
  startPtyAmplifier,
  untilAtRest,
  untilMoreLines,
  type RunningPtyAmplifier,
} from '../helpers/running-pty-amplifier.ts';
import { prepareRealBench } from '../helpers/real-bench.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';

const RATE_HZ = 320;
const [, sequenceCounts] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile, AmplifierProfile];
/** No ready-made profile reads these lines: `FF4A10;0;1042` with a checksum, the counts first and in hexadecimal. */
const unknownForm: AmplifierProfile = {
  ...sequenceCounts,
  id: 'unknown',
  name: 'unknown',
  separator: ';',
  countsField: 0,
  countsForm: { numeral: 'hex', bits: 24 },
  sequence: { field: 2, modulus: 65_536, numeral: 'decimal' },
  checksum: 'xor',
  lineEnding: '\r\n',
  nominalRateHz: RATE_HZ,
};

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;
let amplifier: RunningPtyAmplifier;

beforeEach(async () => {
  folder = makeDataFolder();
  bench = await startRealServices(folder.path);
  // The reader is started before the pseudo-terminal, which it would inherit.
  await bench.handlers.listPorts({});
  amplifier = startPtyAmplifier({ profile: unknownForm, rateHz: RATE_HZ, bench: { seed: 7 } });
});
afterEach(async () => {
  amplifier.close();
  await bench.close();
  folder.remove();
});

async function untilHeard(what: string, condition: (listening: Listening) => boolean): Promise<Listening> {
  const deadline = Date.now() + 30_000;
  for (;;) {
    const { listening } = await bench.handlers.getListening({});
    if (listening && condition(listening)) return listening;
    if (Date.now() > deadline)
      throw new Error(`Waited in vain for: ${what}. ${JSON.stringify(listening, null, 1)}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

describe('an amplifier of unknown lines on a real serial device', () => {
  it('is listened to, pushed, taken as proposed, and gives the counts that it writes', async () => {
    const { handlers } = bench;
    await handlers.startListening({ path: amplifier.path, baudRate: null });
    const heard = await untilHeard('a proposal', ({ proposals }) => proposals.length > 0);
    expect(heard.state).toBe('listening');
    expect(heard.lines.at(-1)).toMatch(/^\$[0-9A-F]{6};0;\d+\*[0-9A-F]{2}$/);
    expect(heard.triedBaudRates[0]?.sentence).toContain('Text in lines');

    await untilHeard('something to compare with', ({ fields }) => (fields[0]?.spreadBefore ?? null) !== null);
    await untilMoreLines(amplifier, 1.5 * RATE_HZ);
    amplifier.simulated?.bench.push(200, 2);
    const pushed = await untilHeard('the number that moves', ({ fields }) => {
      const { spreadNow = 0, spreadBefore = 0 } = fields[0] ?? {};
      return (spreadNow ?? 0) > 20 * (spreadBefore ?? Infinity);
    });
    expect(pushed.fields.map(({ guess }) => guess)).toEqual(['counts', 'constant', 'sequence']);

    const proposals = await untilHeard('the push as a reason', ({ fields }) =>
      (fields[0]?.reason ?? '').includes('beyond its earlier spread'),
    );
    await untilAtRest(amplifier);
    const [best] = proposals.proposals;
    if (!best) throw new Error('Nothing is proposed any more');
    expect(best.profile).toMatchObject({
      separator: ';',
      checksum: 'xor',
      countsField: 0,
      countsForm: { numeral: 'hex', bits: 24 },
      sequence: { field: 2 },
      nominalRateHz: RATE_HZ,
      baudRate: 115_200,
    });
    expect(best.readableShare).toBe(1);

    const { profile } = await handlers.saveProfile({ profile: { ...best.profile, id: 'own-1' } });
    await prepareRealBench(bench, amplifier, { profileId: profile.id, rateHz: RATE_HZ, plannedS: 1 });
    expect(await handlers.getListening({})).toEqual({ listening: null });
    await armWhenAtRest(handlers);
    await bench.untilPhase('waiting');
    amplifier.simulated?.bench.pull({ direction: 'forward', triggerS: 1.5, delayS: 0.3 });
    const trialId = await untilKeptFrom(amplifier, bench);
    const { counts, gaps } = await handlers.getTrialCounts({ trialId });
    expect([...gaps]).toEqual([]);
    const first = findRun(amplifier.written.counts, counts);
    expect(amplifier.written.counts.slice(first, first + counts.length)).toEqual([...counts]);
  });

  it('is not listened to during a trial, which goes on', async () => {
    const { handlers } = bench;
    const { profile } = await handlers.saveProfile({ profile: { ...unknownForm, id: 'own-2', name: 'own' } });
    await prepareRealBench(bench, amplifier, { profileId: profile.id, rateHz: RATE_HZ, plannedS: 1 });
    await armWhenAtRest(handlers);
    await expect(
      Promise.resolve().then(() => handlers.startListening({ path: amplifier.path, baudRate: null })),
    ).rejects.toMatchObject({ code: 'invalid-state' });
    await bench.untilPhase('waiting');
    expect((await bench.status()).amplifier.link).toBe('connected');
  });

  it('is seen to be unplugged while it is listened to', async () => {
    await bench.handlers.startListening({ path: amplifier.path, baudRate: 115_200 });
    await untilHeard('lines', ({ lines }) => lines.length > 0);
    amplifier.unplug();
    const lost = await untilHeard('the loss', ({ state }) => state === 'failed');
    expect(lost.problem?.sentence).toContain('was lost while it was listened to');
    expect(lost.lines.length).toBeGreaterThan(0);
    await bench.until(
      'the loss as an event',
      () => bench.seen('listeningChanged').at(-1)?.listening?.state === 'failed',
    );
  });

  it('can be connected to while baud rates are still being tried', async () => {
    amplifier.stop();
    const { handlers } = bench;
    await handlers.startListening({ path: amplifier.path, baudRate: null });
    amplifier.start();
    await handlers.connectAmplifier({
      path: amplifier.path,
      profileId: 'counts',
      baudRate: 115_200,
      nominalRateHz: RATE_HZ,
      converterBits: 24,
    });
    expect(await handlers.getListening({})).toEqual({ listening: null });
    expect((await bench.status()).amplifier.portPath).toBe(amplifier.path);
  });

  it('refuses a port that is not there, and listens to nothing then', async () => {
    const { handlers } = bench;
    await expect(
      handlers.startListening({ path: '/dev/no-such-port', baudRate: null }),
    ).rejects.toMatchObject({
      code: 'port-not-found',
    });
    expect(await handlers.getListening({})).toEqual({ listening: null });
  });
});
