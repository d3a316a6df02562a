import { once } from 'node:events';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { SimulatedAmplifierPort } from '../../main/amplifier/simulated-amplifier-port.ts';
import { readyMadeProfiles } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { SimulatedBenchOptions } from '../../shared-lib/simulation/simulated-bench.ts';
import { createSimulatedLines } from '../../shared-lib/simulation/simulated-lines.ts';

const profile = readyMadeProfiles[2];
if (!profile) throw new Error('The profile with a checksum is missing.');

const ports: SimulatedAmplifierPort[] = [];
afterEach(async () => {
  for (const port of ports.splice(0)) await port.closePort();
});

const openPort = (options: SimulatedBenchOptions) => {
  const port = new SimulatedAmplifierPort(options, profile);
  ports.push(port);
  const chunks: Buffer[] = [];
  port.on('data', (bytes: Buffer) => chunks.push(bytes));
  return { port, text: () => Buffer.concat(chunks).toString('latin1') };
};

const until = (condition: () => boolean) => vi.waitUntil(condition, { timeout: 60_000, interval: 10 });

describe('the port of the simulated bench', () => {
  it('gives the lines of its seed as bytes', async () => {
    const options = { seed: 31, sampleRateHz: 10_000 };
    const { text } = openPort(options);
    await until(() => text().length > 50_000);
    const received = text();
    const expected = createSimulatedLines(options, profile)
      .nextLines(received.split('\n').length)
      .map((line) => line.text)
      .join('');
    expect(expected.startsWith(received)).toBe(true);
  });

  it('keeps to its rate on the monotonic clock, and never runs ahead of it', async () => {
    const startMs = performance.now();
    const { text } = openPort({ seed: 1, sampleRateHz: 1000 });
    await until(() => text().length > 10_000);
    const lineCount = text().split('\n').length - 1;
    expect(lineCount).toBeLessThanOrEqual(performance.now() - startMs);
  });

  it.each([
    ['catches up after a stall, as the buffer of a real port would', 800, true],
    ['moves its schedule on after a stall that no buffer would bridge', 2300, false],
  ])('%s', async (_behaviour, stallMs, isCaughtUp) => {
    const { text } = openPort({ seed: 1, sampleRateHz: 1000 });
    await until(() => text().includes('\n'));
    const startMs = performance.now();
    while (performance.now() - startMs < stallMs);
    const before = text().split('\n').length;
    const stallEndMs = performance.now();
    await sleep(50);
    const after = text().split('\n').length - before;
    // What has come due since, one waking's worth (10), and the lines of the stall where they are caught up.
    const due = performance.now() - stallEndMs + 12;
    expect(after).toBeGreaterThan(isCaughtUp ? stallMs - 20 : 0);
    expect(after).toBeLessThanOrEqual(isCaughtUp ? stallMs + due + 20 : due);
  });

  it('shows a pull and a push of the simulated operator', async () => {
    const { port, text } = openPort({ seed: 1, sampleRateHz: 1000, noiseCounts: 0, zeroDriftNmPerMinute: 0 });
    await until(() => text().includes('\n$10,'));
    const push = port.pushByHand(40, 0.2);
    const pull = port.pull({ direction: 'reverse', triggerS: 0.3, delayS: 0 });
    expect(pull.startS).toBeGreaterThanOrEqual(push.endS);
    await until(() => text().split('\n').length > pull.endS * 1000);
    const counts = text()
      .trimEnd()
      .split('\n')
      .slice(0, -1)
      .map((line) => Number(line.split(',')[2]?.split('*')[0]));
    const atNm = (atS: number) => ((counts[Math.round(atS * 1000)] ?? NaN) - (counts[0] ?? NaN)) * 0.00025;
    expect(atNm(push.startS + 0.1)).toBeCloseTo(40, 2);
    expect(Math.min(...counts)).toBeLessThan((counts[0] ?? NaN) - 400_000);
  });

  it('is silent on request and goes on afterwards', async () => {
    const { port, text } = openPort({ seed: 1, sampleRateHz: 1000 });
    await until(() => text().split('\n').length > 20);
    port.misbehave({ kind: 'silence', count: 100 });
    const last = text().trimEnd().split('\n').length - 1;
    await until(() => text().includes(`\n$${last + 150},`));
    const numbers = text()
      .trimEnd()
      .split('\n')
      .map((line) => Number(line.slice(1).split(',')[0]));
    const steps = numbers.slice(1).map((number, index) => number - (numbers[index] ?? NaN));
    expect(Math.max(...steps)).toBe(101);
    expect(steps.filter((step) => step !== 1)).toEqual([101]);
  });

  it('closes with an error when the amplifier is unplugged', async () => {
    const { port } = openPort({
      seed: 1,
      sampleRateHz: 1000,
      misbehaviours: [{ atS: 0.05, what: { kind: 'unplug' } }],
    });
    const [error] = (await once(port, 'error')) as [Error];
    expect(error.message).toContain('unplugged');
    await until(() => port.closed);
  });

  it('closes without an error when it is told to, also twice', async () => {
    const { port } = openPort({ seed: 1, sampleRateHz: 80 });
    const closings: string[] = [];
    port.on('close', () => closings.push('close'));
    await Promise.all([port.closePort(), port.closePort()]);
    await port.closePort();
    expect(closings).toEqual(['close']);
  });

  it('loses and counts lines that nobody reads', async () => {
    const port = new SimulatedAmplifierPort({ seed: 1, sampleRateHz: 40_000 }, profile);
    ports.push(port);
    await until(() => port.droppedLines > 0);
    // A buffer of 64 KB and the lines of the waking that filled it, at most 250 ms of them at 30 bytes.
    expect(port.readableLength).toBeLessThan(65_536 + 10_000 * 30);
  });
});
