import { describe, expect, it } from 'vitest';
import { gatherReplay } from '../../main/overlay/replay-part.ts';
import { calibrationInShort } from '../../shared-lib/charts/chart-notes.ts';
import { readingCalibrationId } from '../../shared-lib/trial/assignment.ts';
import { replayChart } from '../../renderer/share/replay/replay-chart.ts';
import { openPublishedBench } from './publishing-support/published-bench.ts';

const reverse = { kind: 'tighten', direction: 'reverse', plannedS: 5 } as const;

/** A pull in reverse, which reads negative on a transducer, beside one forward. */
function bothWays() {
  return openPublishedBench({
    fill(bench) {
      bench.pullCurve({ tool: 'hollin', id: 'forward', risesToNm: 300, tauS: 0.5 });
      bench.pullCurve({ tool: 'hollin', id: 'reverse', step: reverse, risesToNm: -280, tauS: 0.5 });
    },
  });
}

describe('a pull in reverse', () => {
  it('is played on the overlay as torque in its direction, as its figure is', async () => {
    const { handlers } = await bothWays();
    const replay = { trialIds: ['forward', 'reverse'], fromS: 0, toS: 5 };
    const frame = await gatherReplay({ shown: handlers }, replay, 'Nm', 0);
    for (const [index, ceilingNm] of [300, 280].entries()) {
      const curve = frame.curves[index];
      if (curve === undefined) throw new Error('Both are replayed');
      expect(curve.maxNm.at(-1)).toBeCloseTo(ceilingNm, -1);
      expect(curve.measuredNm.at(-1)).toBeCloseTo(ceilingNm, -1);
      curve.minNm.forEach((least, bin) => {
        expect(least).toBeLessThanOrEqual(curve.maxNm[bin] ?? Number.NaN);
      });
      expect(curve.figure).not.toContain('−');
    }
  });

  it('rises in a film of it', async () => {
    const { handlers } = await bothWays();
    const replayed = await Promise.all(
      ['forward', 'reverse'].map(async (trialId) => {
        const record = await handlers.getTrial({ trialId });
        const calibrationId = readingCalibrationId(record);
        return {
          record,
          curve: await handlers.getTrialCurve({ trialId, fromS: null, toS: null, bins: 1400 }),
          calibration: calibrationInShort(await handlers.getCalibrationReport({ calibrationId })),
        };
      }),
    );
    const { curves } = replayChart(replayed, (instant) => instant.slice(0, 10));
    expect(curves.map(({ torqueNm }) => Math.round(Math.max(...torqueNm) / 10))).toEqual([30, 28]);
  });
});

describe('the trials that can be replayed', () => {
  it('are those of what is published, however many newer ones there are', async () => {
    const { handlers } = await openPublishedBench({
      fill(bench) {
        bench.session('old', '2026-01-02T08:00:00.000Z');
        bench.pull({ tool: 'hollin', id: 'of-the-old-day', session: 'old' });
        bench.pull({ tool: 'hollin', id: 'undecided', session: 'old', state: 'reviewing' });
        for (let count = 0; count < 501; count += 1) bench.pull({ tool: 'tarnwick' });
      },
    });
    const ofSession = await handlers.listReplayable({ subject: { kind: 'session', sessionId: 'old' } });
    expect(ofSession.trials.map(({ id }) => id)).toEqual(['of-the-old-day']);
    expect(ofSession.total).toBe(1);
    const ofAll = await handlers.listReplayable({ subject: { kind: 'everything' } });
    expect(ofAll.trials).toHaveLength(500);
    expect(ofAll.total).toBe(502);
  });
});
