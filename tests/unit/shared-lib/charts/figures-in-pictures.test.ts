import { describe, expect, it } from 'vitest';
import type { Chart, ChartLook, CurveChart, MeansChart } from '../../../../shared-lib/charts/chart-model.ts';
import { drawChart } from '../../../../shared-lib/charts/draw-chart.ts';
import type { Picture } from '../../../../shared-lib/picture/picture-model.ts';
import { demoCurves, demoMeans, demoPlaces } from '../../../helpers/demo-charts.ts';
import { textsOf } from '../../../helpers/texts-of-picture.ts';

const wide: ChartLook = { format: 'wide', theme: 'light', torqueUnit: 'Nm' };
const plain = (text: string) => text.replaceAll(/\s/g, ' ');
const wordsOf = (picture: Picture) => textsOf(picture).map(({ text }) => plain(text));
const said = (chart: Chart, look = wide) => plain(drawChart(chart, look).description);

/** Two drivers that hold so much from onset on, and read a little below zero before it. */
function held(...torquesNm: readonly number[]): CurveChart {
  return {
    ...demoCurves([]),
    levels: [],
    checkpoints: [],
    curves: torquesNm.map((torqueNm, index) => ({
      trialId: `${index}`,
      label: `Driver ${index + 1}`,
      colour: index,
      timeS: Float64Array.of(-0.2, -0.01, 0, 5),
      torqueNm: Float64Array.of(-0.04 * torqueNm, -0.04 * torqueNm, torqueNm, torqueNm),
    })),
  };
}

function means(...values: readonly (readonly [mean: number, half: number | null])[]): MeansChart {
  return {
    ...demoMeans,
    levels: [],
    rows: values.map(([mean, half], index) => ({
      label: `Driver ${index + 1}`,
      colour: index,
      mean,
      low: half === null ? null : mean - half,
      high: half === null ? null : mean + half,
      runs: [mean],
    })),
  };
}

describe('the figures of a picture', () => {
  it('tell totals apart that are not the same, in the picture and in its words', () => {
    const totals = [61.24, 61.21, 58.9];
    const chart = {
      ...demoPlaces,
      rows: demoPlaces.rows.map((row, index) => ({ ...row, total: totals[index] ?? 0 })),
    };
    expect(wordsOf(drawChart(chart, wide))).toEqual(expect.arrayContaining(['61.24', '61.21', '58.90']));
    expect(said(chart)).toMatch(/61\.24 points; .*61\.21 points; .*58\.90 points/);
    expect(said(demoPlaces)).toMatch(/150\.0 points; .*130\.0 points/);
  });

  it.each([
    ['Nm', ['2.60 N·m', '3.40 N·m']],
    // 1 ft·lbf is 1.3558179483314004 N·m; NIST SP 811, appendix B.
    ['ftLbf', ['1.92 ft·lbf', '2.51 ft·lbf']],
  ] as const)('tell small torques apart, of the moment and at the end, in %s', (torqueUnit, shown) => {
    const chart = held(2.6, 3.4);
    const look = { ...wide, torqueUnit };
    expect(wordsOf(drawChart(chart, look, { untilS: 2 }))).toEqual(expect.arrayContaining([...shown]));
    expect(said(chart, look)).toContain(
      `Driver 1 (1 run), ${shown[0]} at the end; Driver 2 (1 run), ${shown[1]} at the end.`,
    );
  });

  it('have no more digits of a torque than its size asks for', () => {
    const moment = (torqueNm: number) => wordsOf(drawChart(held(torqueNm), wide, { untilS: 2 }));
    expect(moment(612.4)).toContain('612 N·m');
    expect(moment(41.26)).toContain('41.3 N·m');
    expect(moment(0.5)).toContain('0.500 N·m');
    expect(said(held(0))).toContain('0 N·m at the end');
  });

  it('are not coarser beside a level that is far greater', () => {
    const chart = { ...held(2.6, 3.4), levels: [{ torqueNm: 700, label: 'claim' }] };
    expect(said(chart)).toContain('2.60 N·m at the end');
  });

  it('do not move the plot when a torque has a sign for a moment', () => {
    const ticks = (untilS: number) =>
      textsOf(drawChart(held(2.6, 3.4), wide, { untilS }))
        .filter(({ text }) => /^[0-9.]+$/.test(text))
        .map(({ text, xPx, yPx }) => ({ text, xPx, yPx }));
    expect(wordsOf(drawChart(held(2.6, 3.4), wide, { untilS: -0.05 }))).toContain('−0.14 N·m');
    expect(ticks(-0.05)).toEqual(ticks(4));
  });

  it('tell small means apart, with an interval or without', () => {
    const bare = means([2.6, null], [3.4, null]);
    expect(wordsOf(drawChart(bare, wide))).toEqual(expect.arrayContaining(['2.60', '3.40']));
    expect(said(bare)).toContain('Driver 1 2.60 N·m in 1 run; Driver 2 3.40 N·m in 1 run');
    const sure = means([2.6, 0.4], [3.4, 0.5]);
    expect(wordsOf(drawChart(sure, wide))).toEqual(expect.arrayContaining(['2.6 ± 0.4', '3.4 ± 0.5']));
    expect(said(sure)).toContain('Driver 1 2.6 N·m (95 % from 2.2 N·m to 3.0 N·m) in 1 run');
    expect(said(demoMeans)).toContain('Hollin H5 620 N·m (95 % from 612 N·m to 629 N·m) in 3 runs');
  });
});
