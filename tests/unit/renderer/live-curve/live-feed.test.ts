import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { LiveFeed } from '../../../../renderer/live-curve/live-feed.ts';
import { demoLiveCurve, demoSettings, demoStep, readyStatus } from '../../../helpers/scripted-bench.ts';
import { ScriptedConnection } from '../../../helpers/scripted-connection.ts';

const onsetSlot = 1000;

describe('LiveFeed', () => {
  let connection: ScriptedConnection;
  let feed: LiveFeed;
  let stop: () => void;
  beforeEach(() => {
    vi.useFakeTimers();
    connection = new ScriptedConnection(readyStatus, demoSettings);
    feed = new LiveFeed(connection);
    stop = feed.start();
  });
  afterEach(() => {
    stop();
    vi.useRealTimers();
  });

  const send = (fromSlot: number, toSlot: number): void =>
    connection.send('liveCurve', demoLiveCurve(fromSlot, toSlot, onsetSlot));
  const startRun = (): void =>
    connection.setStatus({ trial: { phase: 'run', step: demoStep, trialId: 't1', onsetSlot } });

  it('shows the first reading at once and then ten a second, the newest last', () => {
    const seen: (number | undefined)[] = [];
    feed.subscribeToReading(() => seen.push(feed.getReading()?.endSlot));
    for (let slot = 0; slot < 200; slot += 20) {
      send(slot, slot + 20);
      vi.advanceTimersByTime(20);
    }
    vi.advanceTimersByTime(1000);
    expect(seen).toEqual([20, 100, 200]);
  });

  it('tells the drawing of every piece, unthrottled', () => {
    let pieces = 0;
    feed.onPiece(() => (pieces += 1));
    send(0, 20);
    send(20, 40);
    expect(pieces).toBe(2);
  });

  it('remembers where the run lies after its phase has gone by', () => {
    send(0, 1100);
    startRun();
    connection.setStatus({ trial: { phase: 'saving', step: demoStep, trialId: 't1' } });
    expect(feed.placeOf('t1')).toMatchObject({ onsetSlot, untilSlot: null });
    expect(feed.placeOf('another')).toBeNull();
  });

  it('marks where an interrupted run was cut short, once', () => {
    send(0, 1100);
    startRun();
    const interrupted = {
      phase: 'interrupted',
      step: demoStep,
      trialId: 't1',
      reason: 'operator',
      sentence: 'Stopped.',
    } as const;
    connection.setStatus({ trial: interrupted });
    send(1100, 1500);
    connection.setStatus({ trial: interrupted });
    expect(feed.placeOf('t1')?.untilSlot).toBe(1100);
  });

  it('knows that another generation of the curve no longer holds the run', () => {
    send(0, 1100);
    startRun();
    connection.send('liveCurve', { ...demoLiveCurve(0, 100, onsetSlot), generation: 2 });
    expect(feed.placeOf('t1')).toBeNull();
  });
});
