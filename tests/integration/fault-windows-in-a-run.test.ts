import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { WebSocketConnection } from '../../renderer/api-client/websocket-connection.ts';
import type { BenchStatus, TrialView } from '../../shared-lib/bench-status.ts';
import { connectToProgram } from '../helpers/connect-to-program.ts';
import { type RunningProgram, startProgram } from '../helpers/running-program.ts';
import { makeDataFolder } from '../helpers/running-services.ts';

let folder: ReturnType<typeof makeDataFolder>;
let program: RunningProgram;
let windows: WebSocketConnection[];

function openWindow(at = program): WebSocketConnection {
  const window = connectToProgram(at.url);
  windows.push(window);
  return window;
}

async function until(
  window: WebSocketConnection,
  what: string,
  condition: (status: BenchStatus) => boolean,
): Promise<BenchStatus> {
  const deadline = Date.now() + 60_000;
  for (;;) {
    const status = await window.request('getStatus', {});
    if (condition(status)) return status;
    if (Date.now() > deadline)
      throw new Error(`Waited in vain for: ${what}. ${JSON.stringify(status.trial)}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

const untilPhase = (window: WebSocketConnection, ...phases: readonly TrialView['phase'][]) =>
  until(window, phases.join(' or '), ({ trial }) => phases.includes(trial.phase));

async function prepare(window: WebSocketConnection): Promise<void> {
  await window.request('connectSimulatedBench', {});
  await window.request('updateSettings', {
    step: { toolName: 'Hollin H5 (demo)', kind: 'tighten', direction: 'forward', plannedS: 2 },
  });
  await until(window, 'a bench without obstacles', ({ obstacles }) => obstacles.length === 0);
}

/** On a machine that does much else the simulated amplifier comes late, and such a trial waits for a decision. */
async function untilEnded(window: WebSocketConnection): Promise<string> {
  const { trial } = await untilPhase(window, 'kept', 'reviewing', 'interrupted');
  expect(trial.phase).not.toBe('interrupted');
  if (trial.phase === 'reviewing') await window.request('keepTrial', { trialId: trial.trialId });
  if (trial.phase !== 'kept' && trial.phase !== 'reviewing') throw new Error('It has no end');
  return trial.trialId;
}

const countTrials = async (window: WebSocketConnection): Promise<number> =>
  (await window.request('listTrials', { search: '', state: null, offset: 0, limit: 10 })).trials.length;

beforeEach(async () => {
  folder = makeDataFolder();
  windows = [];
  program = await startProgram(folder.path);
});
afterEach(async () => {
  for (const window of windows) window.close();
  await program.end();
  folder.remove();
});

describe('a run', () => {
  it('is one where two windows press at once, and goes on to its end when both are closed in the middle of it', async () => {
    const one = openWindow();
    const other = openWindow();
    await prepare(one);
    const presses = await Promise.allSettled([one.request('armTrial', {}), other.request('armTrial', {})]);
    expect(presses.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected']);
    await untilPhase(other, 'run');
    one.close();
    other.close();
    // Somebody closes the page and opens it again when the tool has long stopped.
    await new Promise((resolve) => setTimeout(resolve, 6000));
    const later = openWindow();
    const trialId = await untilEnded(later);
    expect((await later.request('getTrial', { trialId })).summary.state).toBe('kept');
    expect(await countTrials(later)).toBe(1);
  });

  it('is left alone by a second start on the same data', async () => {
    const window = openWindow();
    await prepare(window);
    await window.request('armTrial', {});
    await untilPhase(window, 'run');
    const second = await startProgram(folder.path);
    expect(second.url).toBe(program.url);
    const trialId = await untilEnded(window);
    expect((await window.request('getTrial', { trialId })).interruption).toBeNull();
  });

  it('that is cut by the end of the program waits for a decision at the next start, with what was recorded', async () => {
    const window = openWindow();
    await prepare(window);
    await window.request('armTrial', {});
    await untilPhase(window, 'run');
    await new Promise((resolve) => setTimeout(resolve, 700));
    window.close();
    expect(await program.end()).toBe(0);
    program = await startProgram(folder.path);
    const later = openWindow();
    const { interruptedTrialIds } = await later.request('getStatus', {});
    expect(interruptedTrialIds).toHaveLength(1);
    const record = await later.request('getTrial', { trialId: interruptedTrialIds[0]! });
    expect(record.interruption).toBe('programEnded');
    expect(record.slotCount).toBeGreaterThan(500);
  });
});
