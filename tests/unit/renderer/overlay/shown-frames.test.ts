import { describe, expect, it } from 'vitest';
import {
  type FrameScreen,
  type ReplayFrame,
  type RunFrame,
  type SamplesFrame,
  WaitingFrames,
} from '../../../../renderer/overlay/shown-frames.ts';

function runFrame(runId: string, atUs: number, phase: RunFrame['phase'] = 'running'): RunFrame {
  return {
    kind: 'run',
    runId,
    atUs,
    toolName: 'Hollin H5',
    stepWords: 'forward, 5 s',
    plannedS: 5,
    torqueUnit: 'Nm',
    phase,
    isSimulated: false,
    figures: [],
  };
}

/** Ten samples of a hundredth of a second each, the last of which had been read at this instant. */
function samplesFrame(runId: string, firstS: number, readAtUs: number): SamplesFrame {
  const timeS = Float64Array.from({ length: 10 }, (_, index) => firstS + index / 100);
  return { kind: 'samples', runId, timeS, minNm: timeS, maxNm: timeS, readAtUs };
}

function watched() {
  const runs: string[] = [];
  const times: number[] = [];
  const screen: FrameScreen = {
    showRun: ({ runId, phase }) => runs.push(`${runId} ${phase}`),
    showPoints: ({ timeS }) => times.push(...timeS),
    showReplay: ({ runId }) => runs.push(`replay ${runId}`),
  };
  return { runs, times, waiting: new WaitingFrames(screen) };
}

describe('frames that wait to be shown', () => {
  it('are shown at their instant, each sample when it was read, however early they came', () => {
    const { runs, times, waiting } = watched();
    waiting.take(runFrame('a', 1_000_000));
    waiting.take(samplesFrame('a', 0, 1_100_000));
    waiting.showUntil(999_999);
    expect(runs).toEqual([]);
    waiting.showUntil(1_000_000);
    expect(runs).toEqual(['a running']);
    expect(times).toEqual([]);
    // The last was read at 1.1 s, so the fifth from the end at 1.06 s.
    waiting.showUntil(1_065_000);
    expect(times.map((timeS) => timeS.toFixed(2))).toEqual(['0.00', '0.01', '0.02', '0.03', '0.04', '0.05']);
    waiting.showUntil(1_100_000);
    expect(times).toHaveLength(10);
    waiting.showUntil(2_000_000);
    expect(times).toHaveLength(10);
  });

  it('keep the samples before an onset that is known only later, and show them with it', () => {
    const { runs, times, waiting } = watched();
    waiting.take(runFrame('before', 1_900_000, 'ready'));
    waiting.take(runFrame('before', 2_050_000, 'ready'));
    // Onset was at 2.0 s and is told of at 2.2 s; what was to be shown after it has been overtaken.
    waiting.take(runFrame('a', 2_000_000));
    waiting.take(samplesFrame('a', -0.1, 1_990_000));
    waiting.showUntil(1_950_000);
    expect(runs).toEqual(['before ready']);
    expect(times).toEqual([]);
    waiting.showUntil(2_100_000);
    expect(runs).toEqual(['before ready', 'a running']);
    expect(times).toHaveLength(10);
  });

  it('drop samples of a run that is over', () => {
    const { times, waiting } = watched();
    waiting.take(runFrame('a', 0));
    waiting.showUntil(0);
    waiting.take(runFrame('b', 10));
    waiting.showUntil(10);
    waiting.take(samplesFrame('a', 0, 20));
    waiting.showUntil(1_000_000);
    expect(times).toEqual([]);
  });

  it('begin a replay at once, and what waited for later does not cut it short', () => {
    const { runs, waiting } = watched();
    waiting.take(runFrame('a', 500_000, 'idle'));
    const replay = { kind: 'replay', runId: 'r', startAtUs: 900_000 } as ReplayFrame;
    waiting.take(replay);
    waiting.showUntil(400_000);
    expect(runs).toEqual(['replay r']);
    waiting.showUntil(800_000);
    expect(runs).toEqual(['replay r']);
    waiting.take(runFrame('a', 900_000, 'idle'));
    waiting.showUntil(900_000);
    expect(runs).toEqual(['replay r', 'a idle']);
  });

  it('are forgotten when the link is lost', () => {
    const { runs, times, waiting } = watched();
    waiting.take(runFrame('a', 10));
    waiting.take(samplesFrame('a', 0, 20));
    waiting.forget();
    waiting.showUntil(1_000_000);
    expect([runs, times]).toEqual([[], []]);
  });
});
