import { afterEach, describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { decodeCapture } from '../../shared-lib/amplifier/capture-format.ts';
import { startPtyAmplifier, type RunningPtyAmplifier } from '../helpers/running-pty-amplifier.ts';
import { startReaderInProcess, type ReaderInProcess } from '../helpers/reader-in-process.ts';

const RATE_HZ = 2000;
const profile: AmplifierProfile = {
  ...(readyMadeProfiles as [AmplifierProfile, AmplifierProfile])[1],
  baudRate: 921_600,
  nominalRateHz: RATE_HZ,
};
const LIMIT_BYTES = 16_384;

const cleanUps: (() => void | Promise<void>)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

function plugIn(): RunningPtyAmplifier {
  const amplifier = startPtyAmplifier({ profile, rateHz: RATE_HZ, countsAt: (index) => index });
  cleanUps.push(() => {
    amplifier.close();
  });
  return amplifier;
}

async function open(path: string): Promise<ReaderInProcess> {
  const reader = startReaderInProcess({ waitingBytes: LIMIT_BYTES, heardBytes: 4096 });
  reader.send({ type: 'open', openId: 1, source: { kind: 'serial', path, usb: null }, profile });
  await reader.until('the port', () => reader.of('opened').length > 0);
  cleanUps.push(async () => {
    reader.send({ type: 'close' });
    await reader.until('the end', () => reader.of('closed').length > 0);
  });
  return reader;
}

const overflows = (reader: ReaderInProcess): number[] =>
  reader
    .of('data')
    .flatMap(({ faults }) => faults.filter(({ kind }) => kind === 'queueOverflow').map(({ count }) => count));

describe('reports that nobody takes', () => {
  it('stop growing at the limit; what is dropped after it is told with its number once there is room, and not joined', async () => {
    const amplifier = plugIn();
    const reader = await open(amplifier.path);
    await reader.until('the limit', () => {
      const handedOver = reader.of('data').at(-1)?.handedOverBytes ?? 0;
      return handedOver > LIMIT_BYTES;
    });
    // Whatever is dropped now is dropped without a word, so that the queue does not grow by the telling.
    const atLimit = reader.of('data').length;
    const takenUpTo = amplifier.written.counts.length;
    await reader.until('more lines', () => amplifier.written.counts.length > takenUpTo + RATE_HZ);
    expect(reader.of('data')).toHaveLength(atLimit);

    reader.acknowledge();
    await reader.until('the fault', () => overflows(reader).length > 0);
    const counted = reader.counts().length;
    reader.acknowledge();
    await reader.until('samples again', () => reader.counts().length > counted + 200);
    amplifier.stop();
    await reader.until('the last of them', () => reader.counts().at(-1) === amplifier.written.counts.at(-1));

    const [dropped] = overflows(reader);
    expect(overflows(reader)).toHaveLength(1);
    expect(dropped).toBeGreaterThan(RATE_HZ / 2);
    // Every line that was written, but for the first, is either here or counted as dropped.
    const counts = reader.counts();
    expect(counts.length + (dropped ?? 0)).toBe(amplifier.written.counts.length - 1);
    const blocks = reader.of('data').flatMap((report) => report.blocks);
    const jump = counts.findIndex((value, index) => index > 0 && value !== (counts[index - 1] ?? 0) + 1);
    expect((counts[jump] ?? 0) - (counts[jump - 1] ?? 0) - 1).toBe(dropped);
    expect(new Set(blocks.map(({ segment }) => segment))).toEqual(new Set([1, 2]));
    const beforeJump = blocks.filter(({ segment }) => segment === 1);
    expect(beforeJump.reduce((sum, block) => sum + block.counts.length, 0)).toBe(jump);
  });

  it('do not hide what was dropped where the port is lost before there is room', async () => {
    const amplifier = plugIn();
    const reader = await open(amplifier.path);
    await reader.until('the limit', () => (reader.of('data').at(-1)?.handedOverBytes ?? 0) > LIMIT_BYTES);
    const written = amplifier.written.counts.length;
    await reader.until('more lines', () => amplifier.written.counts.length > written + 500);
    amplifier.unplug();
    await reader.until('the loss', () => reader.of('closed').length > 0);
    expect(overflows(reader)).toHaveLength(1);
    const dropped = overflows(reader)[0] ?? 0;
    // The newest lines may have been in the port when it was lost.
    expect(reader.counts().length + dropped).toBeLessThan(amplifier.written.counts.length);
    expect(reader.counts().length + dropped).toBeGreaterThan(written);
  });

  it('let go of the raw bytes of the last minute before any sample is dropped', async () => {
    const amplifier = plugIn();
    const reader = await open(amplifier.path);
    const kept = (): number => {
      reader.send({ type: 'takeRecentBytes', requestId: 1 });
      const capture = reader.of('recentBytes').at(-1)?.capture;
      return capture ? decodeCapture(capture).records.reduce((sum, { bytes }) => sum + bytes.length, 0) : 0;
    };
    await reader.until('raw bytes', () => kept() > 1000);
    await reader.until('the limit', () => (reader.of('data').at(-1)?.handedOverBytes ?? 0) > LIMIT_BYTES);
    const written = amplifier.written.counts.length;
    await reader.until('more lines', () => amplifier.written.counts.length > written + RATE_HZ);
    expect(overflows(reader)).toEqual([]);
    // Of a second or more, no more than what came since the last report.
    expect(kept()).toBeLessThan(10_000);
  });

  it('take no more raw bytes than their own limit while listening', async () => {
    const amplifier = plugIn();
    const reader = startReaderInProcess({ waitingBytes: LIMIT_BYTES, heardBytes: 4096 });
    reader.send({ type: 'listen', openId: 7, path: amplifier.path, baudRate: 921_600 });
    await reader.until('raw bytes', () => (reader.of('heard').at(-1)?.handedOverBytes ?? 0) > 4096);
    const heard = reader.of('heard').length;
    const written = amplifier.written.counts.length;
    await reader.until('more lines', () => amplifier.written.counts.length > written + 500);
    expect(reader.of('heard')).toHaveLength(heard);
    reader.acknowledge();
    await reader.until('raw bytes again', () => reader.of('heard').length > heard);
    reader.send({ type: 'close' });
    await reader.until('the end', () => reader.of('closed').length > 0);
  });
});
