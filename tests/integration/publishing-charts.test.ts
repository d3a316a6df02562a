import { describe, expect, it } from 'vitest';
import type { Chart, ChartKind } from '../../shared-lib/charts/chart-model.ts';
import { chartSchema } from '../../shared-lib/charts/chart-model.ts';
import type { Subject } from '../../shared-lib/publishing/publishing-model.ts';
import { calibrationId } from './storage-support/bench-fixture.ts';
import { forwardStep, keyOf } from './storage-support/compared-bench.ts';
import {
  openPublishedBench,
  type PublishedBench,
  pullThreeRounds,
} from './publishing-support/published-bench.ts';

const asked = {
  step: forwardStep,
  a: keyOf('hollin'),
  b: keyOf('tarnwick'),
  sessionIds: null,
  isForced: false,
  measure: { figure: 'sustainedTorque' },
} as const;
const compared: Subject = { kind: 'comparison', asked };

async function chartOf<Kind extends ChartKind>(
  { handlers }: PublishedBench,
  subject: Subject,
  kind: Kind,
): Promise<Extract<Chart, { kind: Kind }>> {
  const chart = chartSchema.parse(await handlers.getChart({ subject, chart: kind }));
  if (!isOfKind(chart, kind)) throw new Error(`Asked for ${kind}, got ${chart.kind}`);
  return chart;
}

function isOfKind<Kind extends ChartKind>(chart: Chart, kind: Kind): chart is Extract<Chart, { kind: Kind }> {
  return chart.kind === kind;
}

const refusal = async ({ handlers }: PublishedBench, subject: Subject, chart: ChartKind) => {
  try {
    await handlers.getChart({ subject, chart });
    return null;
  } catch (error) {
    return error;
  }
};
const at = (timeS: Float64Array, torqueNm: Float64Array, instantS: number) =>
  torqueNm[timeS.findIndex((time) => time >= instantS)] ?? Number.NaN;

describe('the picture of a comparison', () => {
  it('has every run of both from onset on, each tool in one colour, and says what it rests on', async () => {
    const bench = await openPublishedBench({ fill: pullThreeRounds });
    const chart = await chartOf(bench, compared, 'curves');
    expect(chart.title).toBe('Hollin H5 against Tarnwick T6');
    expect(chart.curves.map(({ label }) => label)).toEqual([
      ...Array<string>(3).fill('Hollin H5'),
      ...Array<string>(3).fill('Tarnwick T6'),
    ]);
    expect(new Set(chart.curves.map(({ label, colour }) => `${label} ${colour}`)).size).toBe(2);
    for (const { label, timeS, torqueNm } of chart.curves) {
      expect(timeS.length).toBeLessThanOrEqual(2000);
      // They rise to 331 to 333 and 301 to 303 N·m with 0.4 s: at 3 s all but half a thousandth of it.
      expect(Math.abs(at(timeS, torqueNm, 3) - (label === 'Hollin H5' ? 332 : 302))).toBeLessThan(3);
      expect(Math.abs(at(timeS, torqueNm, -0.15))).toBeLessThan(3);
    }
    expect(chart.checkpoints.map(({ atS }) => atS)).toEqual([1, 2, 3, 5]);
    expect(
      chart.checkpoints.every(({ isClear, text }) => isClear && /^\+\d+\.\d ± \d+\.\d\u202f%$/.test(text)),
    ).toBe(true);
    expect(chart.notes[0]).toMatch(/^n: Hollin H5: 3 runs.+Tarnwick T6: 3 runs/);
    expect(chart.notes[1]).toMatch(
      /^Calibration “.+” of \d{4}-\d\d-\d\d, .+; pulled 2026-04-01; 80\u202fSa\/s\.$/,
    );
    expect(chart.notes.join(' ')).toContain('Simulated');
    expect(chart.notes.join(' ')).toContain('dynamic error not included');
  });

  it('tells the instants above the curves from the one ahead, in whichever order the two are asked for', async () => {
    const bench = await openPublishedBench({ fill: pullThreeRounds });
    const [there, back] = await Promise.all([
      chartOf(bench, compared, 'curves'),
      chartOf(bench, { ...compared, asked: { ...asked, a: asked.b, b: asked.a } }, 'curves'),
    ]);
    expect(back.checkpoints).toEqual(there.checkpoints);
    for (const { subtitle, notes } of [there, back]) {
      expect(subtitle).toContain('Hollin H5 is ahead of Tarnwick T6');
      expect(notes.join(' ')).toContain('Above: torque of Hollin H5 over Tarnwick T6');
    }
  });

  it('has the mean of each side with its interval and all runs', async () => {
    const bench = await openPublishedBench({ fill: pullThreeRounds });
    const chart = await chartOf(bench, compared, 'means');
    const { result } = await bench.handlers.compare(asked);
    expect(chart.rows.map(({ label }) => label)).toEqual(['Hollin H5', 'Tarnwick T6']);
    chart.rows.forEach(({ mean, low, high, runs }, index) => {
      expect(mean).toBe((index === 0 ? result?.a : result?.b)?.mean);
      expect(runs).toHaveLength(3);
      expect(low).toBeLessThan(mean);
      expect(high).toBeGreaterThan(mean);
      expect(Math.min(...runs)).toBeLessThanOrEqual(mean);
    });
  });

  it('is refused where the two cannot be compared, with the reason', async () => {
    const bench = await openPublishedBench({
      fill(filled) {
        filled.pull({ tool: 'hollin', sustainedNm: 330 });
        filled.session('real-day', '2026-04-02T08:00:00.000Z', true);
        filled.pull({ tool: 'tarnwick', sustainedNm: 300, isReal: true, session: 'real-day' });
      },
    });
    const refused = await refusal(bench, compared, 'curves');
    expect(refused).toMatchObject({ code: 'invalid-request' });
    expect(String(refused)).toContain('cannot be compared');
  });
});

describe('the picture of a session', () => {
  it('has the curves of the step that was pulled most, in its direction, and names the others', async () => {
    const bench = await openPublishedBench({
      fill(filled) {
        filled.sheet('sheet-1', 3);
        for (const round of [1, 2, 3]) {
          filled.pullCurve({ tool: 'hollin', risesToNm: 330, tauS: 0.4, round });
          filled.pullCurve({ tool: 'brindlow', risesToNm: 210, tauS: 0.4, round });
        }
        filled.pull({ tool: 'hollin', sustainedNm: 300, step: { direction: 'reverse', plannedS: 10 } });
        filled.pullCurve({ tool: 'hollin', risesToNm: 100, tauS: 0.4, round: 0, role: 'conditioning' });
      },
    });
    const session: Subject = { kind: 'session', sessionId: 'session-day-1' };
    const chart = await chartOf(bench, session, 'curves');
    expect(chart.curves).toHaveLength(6);
    expect(chart.notes.join(' ')).toContain(
      'Also pulled in this session, not in this picture: tighten reverse 10\u202fs.',
    );
    const means = await chartOf(bench, session, 'means');
    expect(means.rows.map(({ label, runs }) => `${label} ${runs.length}`)).toEqual([
      'Hollin H5 3',
      'Brindlow B4 3',
    ]);
    const report = await bench.handlers.getSessionReport({ sessionId: 'session-day-1' });
    expect(means.rows[0]?.mean).toBe(
      report.setups.find(({ label, count }) => label === 'Hollin H5' && count === 3)?.meanNm,
    );
  });
});

describe('a picture', () => {
  it('of a trial has its curve and what it held, and none before somebody has decided', async () => {
    const bench = await openPublishedBench({
      fill(filled) {
        filled.pullCurve({ tool: 'hollin', id: 'kept', risesToNm: 330, tauS: 0.4 });
        filled.pull({ tool: 'hollin', id: 'open', sustainedNm: 321.5, state: 'reviewing' });
      },
    });
    const chart = await chartOf(bench, { kind: 'trial', trialId: 'kept' }, 'curves');
    expect(chart.curves).toHaveLength(1);
    const { summary } = await bench.handlers.getTrial({ trialId: 'kept' });
    expect(chart.levels).toEqual([{ torqueNm: summary.sustainedTorqueNm, label: 'held for 0.25\u202fs' }]);
    const refused = await refusal(bench, { kind: 'trial', trialId: 'open' }, 'curves');
    expect(refused).toMatchObject({ code: 'invalid-request' });
    expect(String(refused)).not.toContain('321');
  });

  it('that a subject does not have is refused in words', async () => {
    const bench = await openPublishedBench({ fill: pullThreeRounds });
    const asked: readonly [Subject, ChartKind][] = [
      [{ kind: 'everything' }, 'curves'],
      [compared, 'places'],
      [{ kind: 'session', sessionId: 'session-day-1' }, 'residuals'],
      [{ kind: 'calibration', calibrationId }, 'means'],
      [{ kind: 'calibration', calibrationId }, 'residuals'],
    ];
    for (const [subject, chart] of asked) {
      expect(await refusal(bench, subject, chart)).toMatchObject({ code: 'invalid-request' });
    }
    expect(await refusal(bench, { kind: 'trial', trialId: 'not-there' }, 'curves')).toMatchObject({
      code: 'trial-not-found',
    });
    expect(await refusal(bench, { kind: 'standings', tableId: 'not-there' }, 'places')).toMatchObject({
      code: 'standings-not-found',
    });
  });
});
