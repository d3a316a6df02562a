import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Chart,
  type ChartLook,
  chartFormats,
  chartSchema,
} from '../../../../shared-lib/charts/chart-model.ts';
import { drawChart } from '../../../../shared-lib/charts/draw-chart.ts';
import type { Picture, Shape } from '../../../../shared-lib/picture/picture-model.ts';
import { demoCharts, demoCurves, demoMeans, everyLook, risingCurve } from '../../../helpers/demo-charts.ts';
import { boxOf, outsideOf, overlapsIn, textsOf } from '../../../helpers/texts-of-picture.ts';

const wide: ChartLook = { format: 'wide', theme: 'light', torqueUnit: 'Nm' };
const wordsOf = (picture: Picture) => textsOf(picture).map(({ text }) => text);
/** With plain spaces. */
const linesOf = (picture: Picture) =>
  wordsOf(picture).map((text) => text.replaceAll(/[\u2009\u202f\u00a0]/g, ' '));

const value = fc.oneof(
  { weight: 6, arbitrary: fc.double({ min: -900, max: 2500, noNaN: true }) },
  { weight: 1, arbitrary: fc.constantFrom(0, 1e-9, 1e12, -3e200, 1.7e308) },
);
const rough = fc.oneof(
  { weight: 5, arbitrary: value },
  { weight: 1, arbitrary: fc.constantFrom(Number.NaN, Infinity) },
);
const label = fc.oneof(
  fc.constantFrom(
    'Hollin H5',
    'Tarnwick T6, Pack 5 Ah, 24 mm impact socket',
    'Brindlow B4 with the long 250 mm extension, reference',
  ),
  fc.string({ unit: 'grapheme', minLength: 1, maxLength: 80 }),
);
const heading = {
  title: fc.oneof(
    fc.constant('Hollin H5 against Tarnwick T6'),
    fc.string({ unit: 'grapheme', maxLength: 300 }),
  ),
  subtitle: fc.lorem({ maxCount: 40 }),
  notes: fc.array(fc.lorem({ maxCount: 30 }), { maxLength: 14 }),
};
const colour = fc.integer({ min: 0, max: 4 });
const levels = fc.array(fc.record({ torqueNm: value, label }), { maxLength: 6 });
const curve = fc
  .array(fc.tuple(fc.double({ min: -1, max: 20, noNaN: true }), rough), { maxLength: 40 })
  .map((points) => points.toSorted(([one], [other]) => one - other))
  .map((points) => ({
    timeS: Float64Array.from(points, ([time]) => time),
    torqueNm: Float64Array.from(points, ([, torque]) => torque),
  }));
const curveChart = fc
  .record({
    ...heading,
    names: fc.oneof(
      fc.array(label, { minLength: 1, maxLength: 5 }),
      fc.array(label, { minLength: 1, maxLength: 60 }),
    ),
    curves: fc.array(fc.tuple(fc.nat(), colour, curve), { maxLength: 60 }),
    plannedS: fc.constantFrom(0.5, 5, 10, 120),
    levels,
    checkpoints: fc.array(
      fc.record({
        atS: fc.constantFrom(1, 2, 3, 5, 10, 15),
        isClear: fc.boolean(),
        text: fc.constantFrom('+5.2 ± 3.0\u202f%', '−16.3 ± 96.3\u202f%'),
      }),
      { maxLength: 6 },
    ),
  })
  .map(({ names, curves, ...chart }): Chart => ({
    kind: 'curves',
    ...chart,
    curves: curves.map(([name, place, points], index) => ({
      trialId: `${index}`,
      label: names[name % names.length] ?? '',
      colour: place,
      ...points,
    })),
  }));
const meansChart = fc
  .record({
    ...heading,
    quantity: fc.constantFrom('torque' as const, 'time' as const),
    quantityWords: fc.constantFrom('sustained torque', 'time to 400.0\u202fN·m (295.0\u202fft·lbf)'),
    rows: fc.array(
      fc.record({
        label,
        colour,
        mean: value,
        half: fc.option(fc.double({ min: 0, max: 200, noNaN: true })),
        runs: fc.array(value, { maxLength: 9 }),
      }),
      { maxLength: 60 },
    ),
    levels: fc.array(fc.record({ value, label }), { maxLength: 6 }),
  })
  .map(({ rows, ...chart }): Chart => ({
    kind: 'means',
    ...chart,
    rows: rows.map(({ half, ...row }) => ({
      ...row,
      low: half === null ? null : row.mean - half,
      high: half === null ? null : row.mean + half,
    })),
  }));
const placesChart = fc
  .record({
    ...heading,
    rows: fc.array(
      fc.record({
        label,
        total: value,
        range: fc.option(fc.tuple(fc.integer({ min: 1, max: 200 }), fc.integer({ min: 1, max: 200 }))),
        terms: fc.array(fc.record({ label, points: fc.option(value) }), { maxLength: 12 }),
      }),
      { maxLength: 200 },
    ),
  })
  .map(({ rows, ...chart }): Chart => ({
    kind: 'places',
    ...chart,
    rows: rows.map(({ range, ...row }, index) => ({
      ...row,
      place: index + 1,
      bestPlace: range === null ? null : Math.min(...range),
      worstPlace: range === null ? null : Math.max(...range),
    })),
  }));
const residualsChart = fc
  .record({
    ...heading,
    senses: fc.array(
      fc.record({
        label: fc.constantFrom('Forward', 'Reverse'),
        points: fc.array(
          fc.record({
            torqueNm: value,
            residualNm: value,
            series: fc.oneof(fc.constantFrom('series 1, rising', 'series 2, falling'), label),
          }),
          { maxLength: 40 },
        ),
        limits: fc.array(fc.record({ torqueNm: value, expandedNm: value }), { maxLength: 12 }),
      }),
      { maxLength: 2 },
    ),
  })
  .map((chart): Chart => ({ kind: 'residuals', ...chart }));

function pointsOf(shape: Shape): number[] {
  switch (shape.kind) {
    case 'line':
    case 'area':
      return [...shape.pointsPx].filter((point) => !Number.isNaN(point));
    case 'rectangle':
      return [shape.xPx, shape.yPx, shape.widthPx, shape.heightPx];
    case 'circle':
    case 'text':
      return [shape.xPx, shape.yPx];
  }
}

describe('a chart of whatever data', () => {
  for (const [name, charts] of Object.entries({
    curves: curveChart,
    means: meansChart,
    places: placesChart,
    residuals: residualsChart,
  })) {
    it(`has, of ${name}, no text on another or over the edge, in every format`, { timeout: 120_000 }, () => {
      fc.assert(
        fc.property(
          charts,
          fc.constantFrom(...everyLook),
          fc.option(fc.double({ min: 0, max: 10, noNaN: true })),
          (chart, look, untilS) => {
            const picture = drawChart(chart, look, untilS === null ? {} : { untilS });
            expect(overlapsIn(picture)).toEqual([]);
            expect(outsideOf(picture)).toEqual([]);
            const reach = 2 * Math.max(picture.widthPx, picture.heightPx);
            for (const shape of picture.shapes) {
              for (const point of pointsOf(shape)) expect(Math.abs(point)).toBeLessThanOrEqual(reach);
            }
          },
        ),
        { numRuns: 60 },
      );
    });
  }
});

describe('a chart of each kind', () => {
  it('stands in every format at its size, on the ground of its theme or on none', () => {
    for (const chart of demoCharts) {
      expect(chartSchema.parse(chart)).toEqual(chart);
      for (const look of everyLook) {
        const picture = drawChart(chart, look);
        const { widthPx, heightPx } = chartFormats[look.format];
        expect(picture).toMatchObject({
          widthPx,
          heightPx,
          ground: look.theme === 'light' ? '#ffffff' : '#121416',
        });
        expect(drawChart(chart, look, { isTransparent: true })).toEqual({ ...picture, ground: null });
      }
    }
  });

  it('has no type that is too small for a phone, and in print none under 8 points', () => {
    for (const chart of demoCharts) {
      for (const look of everyLook) {
        const picture = drawChart(chart, look);
        const smallest = Math.min(...textsOf(picture).map(({ style }) => style.sizePx));
        // 300 px to an inch, 72 points to an inch.
        const least =
          look.format === 'print' ? (8 / 72) * 300 : 0.022 * Math.min(picture.widthPx, picture.heightPx);
        expect(smallest).toBeGreaterThanOrEqual(least);
      }
    }
  });

  it('says what it rests on and that it is a demo, in the picture and in words', () => {
    for (const chart of demoCharts) {
      for (const look of everyLook) {
        const picture = drawChart(chart, look);
        const said = linesOf(picture).join(' ');
        expect(said).toContain('n: Hollin H5: 3 runs; Tarnwick T6: 3 runs.');
        expect(said).toContain('“Weights on the arm (demo)” of 2026-03-09');
        expect(said).toContain('1000 Sa/s');
        expect(wordsOf(picture)).toContain('demo, simulated');
        expect(picture.title).toBe(chart.title);
        expect(picture.description).toContain(chart.notes[1]);
      }
    }
  });

  it('has its torque in the unit asked for, axis and words alike', () => {
    const newton = linesOf(drawChart(demoMeans, wide));
    const pound = linesOf(drawChart(demoMeans, { ...wide, torqueUnit: 'ftLbf' }));
    expect(newton).toEqual(expect.arrayContaining(['620 ± 9', 'claim, Hollin H5: 700 N·m']));
    // 620 N·m / 1.3558179483314004 = 457.29 ft·lbf; NIST SP 811, appendix B.
    expect(pound).toEqual(expect.arrayContaining(['457 ± 7', 'claim, Hollin H5: 516 ft·lbf']));
    expect(pound.join()).toMatch(/sustained torque, ft·lbf/);
  });
});

describe('curves', () => {
  it('have their names at their ends while there are five at most, in colours and dashes of their own', () => {
    const picture = drawChart(
      demoCurves(['Hollin H5', 'Tarnwick T6', 'Brindlow B4', 'Corvane C8', 'Ostrel O6']),
      wide,
    );
    expect(wordsOf(picture)).toEqual(expect.arrayContaining(['Hollin H5', 'Ostrel O6']));
    const mains = picture.shapes.filter((shape) => shape.kind === 'line' && shape.stroke.widthPx === 6);
    const looks = new Set(
      mains.map((shape) =>
        shape.kind === 'line' ? `${shape.stroke.colour} ${shape.stroke.dashPx.join()}` : '',
      ),
    );
    // Each twice: the mean and its sample beside the name.
    expect(mains).toHaveLength(10);
    expect(looks.size).toBe(5);
  });

  it('get a plot of their own each beyond five, and those without one are named', () => {
    const names = Array.from({ length: 60 }, (_, index) => `Demo tool ${index + 1}`);
    const words = linesOf(drawChart(demoCurves(names, 1), { ...wide, format: 'square' }));
    expect(words).toContain('Demo tool 1');
    expect(words.join(' ')).toMatch(
      /\d+ more without a plot of their own, among the grey curves: Demo tool \d+/,
    );
  });

  it('come with a legend where names have no room beside them', () => {
    const long = Array.from({ length: 6 }, (_, index) => ({
      torqueNm: 600 + index,
      label: `level ${index} that has a very long name indeed`,
    }));
    const chart = {
      ...demoCurves(
        ['One', 'Two', 'Three', 'Four', 'Five'].map((name) => `${name} of many setups with a long name`),
      ),
      levels: long,
      notes: Array<string>(20).fill(
        'A note that fills a line of the picture from its left edge to its right edge, and then some more.',
      ),
    };
    const picture = drawChart(chart, { ...wide, format: 'square' });
    expect(overlapsIn(picture)).toEqual([]);

    expect(linesOf(picture).join(' ')).toContain('level 5');
  });

  it('are drawn up to a time with their heads and the torque of the moment, while nothing else moves', () => {
    const chart = demoCurves(['Hollin H5', 'Tarnwick T6'], 1);
    const at = (untilS: number) => drawChart(chart, wide, { untilS });
    const heads = (picture: Picture) =>
      picture.shapes.filter((shape) => shape.kind === 'circle' && shape.radiusPx > 10);
    expect(heads(at(2))).toHaveLength(2);
    // 620 (1 - exp(-2 / 0.6)) + sin(80) = 596.9 N·m; the curve's points lie 14 ms apart.
    expect(linesOf(at(2))).toContain('597 N·m');
    expect(heads(at(-1))).toHaveLength(0);
    const still = (picture: Picture) => linesOf(picture).filter((text) => !/^(\d+ N·m|–|\+.+ %)$/.test(text));
    expect(still(at(1))).toEqual(still(at(4)));
    // What is told apart at an instant is not told before it.
    const told = (picture: Picture) => linesOf(picture).filter((text) => text.startsWith('+'));
    expect([at(0.5), at(2.5), at(5)].map((picture) => told(picture).length)).toEqual([0, 2, 4]);
  });

  it('have half the height of a square picture at least, below a verdict of three lines and a strip of two rows', () => {
    const chart = {
      ...demoCurves(['Hollin H5', 'Tarnwick T6']),
      subtitle: `${demoMeans.subtitle.replace('.)', '), at least the margin of 5\u202f%.')} Provisional: not all planned rounds are done.`,
      checkpoints: [1, 2, 3, 5].map((atS) => ({ atS, isClear: false, text: `+${atS}.4 ± 13.0\u202f%` })),
      notes: [
        ...demoMeans.notes,
        ...Array<string>(6).fill('A note that takes most of a line, as cautions do.'),
      ],
    };
    const picture = drawChart(chart, { ...wide, format: 'square' });
    const onsetPx = picture.shapes.flatMap((shape) => {
      if (shape.kind !== 'line' || shape.pointsPx.length !== 4) return [];
      const [fromXPx = 0, fromYPx = 0, toXPx = 0, toYPx = 0] = shape.pointsPx;
      return fromXPx === toXPx ? [toYPx - fromYPx] : [];
    });
    expect(Math.max(...onsetPx)).toBeGreaterThanOrEqual(540);
    expect(linesOf(picture).join(' ')).toContain('1000 Sa/s');
  });

  it('have a figure above each instant at which they are compared, up to the last, in every format', () => {
    const texts = [1, 2, 3, 5].map((atS) => `+${atS}.4 ± 3.0 %`);
    for (const look of everyLook) {
      const picture = drawChart(demoCurves(['Hollin H5', 'Tarnwick T6']), look);
      const dots = picture.shapes.flatMap((shape) => (shape.kind === 'circle' ? [shape.xPx] : []));
      const boxes = textsOf(picture)
        .map(boxOf)
        .map((box) => ({ ...box, text: box.text.replaceAll('\u202f', ' ') }));
      expect(dots).toHaveLength(4);
      texts.forEach((text, index) => {
        const box = boxes.find((one) => one.text === text);
        const atPx = dots.toSorted((one, other) => one - other)[index] ?? Number.NaN;
        expect(box?.leftPx).toBeLessThanOrEqual(atPx);
        expect(box?.rightPx).toBeGreaterThanOrEqual(atPx);
      });
    }
  });

  it('keep long names and a long sentence whole above them, in smaller type where that takes it', () => {
    const [one, other] = [
      'Hollin H5, pack 5 Ah, 24 mm impact socket, long extension',
      'Tarnwick T6, pack 8 Ah, setting 3, universal joint',
    ];
    const title = `${one} against ${other}`;
    const subtitle = `Tighten forward 5 s. ${one} is ahead of ${other} by 12.4 % in sustained torque (95 %: 8.1 to 16.7 %), at least the margin of 5 %.`;
    for (const look of everyLook) {
      const picture = drawChart({ ...demoCurves([one, other]), title, subtitle }, look);
      const said = linesOf(picture).join(' ');
      expect(said).toContain(title);
      expect(said).toContain(subtitle);
      expect(overlapsIn(picture)).toEqual([]);
    }
  });

  it('of one point are a dot, and without any value are said to be none', () => {
    const dot = {
      ...demoCurves([]),
      curves: [
        {
          trialId: '1',
          label: 'Hollin H5',
          colour: 0,
          timeS: Float64Array.of(1),
          torqueNm: Float64Array.of(300),
        },
      ],
    };
    expect(
      drawChart(dot, wide).shapes.filter((shape) => shape.kind === 'circle' && shape.fill === '#000000'),
    ).toHaveLength(1);
    const none = {
      ...dot,
      curves: [
        {
          ...risingCurve(1, 1, 5),
          torqueNm: new Float64Array(400).fill(Number.NaN),
          trialId: '1',
          label: 'Hollin H5',
          colour: 0,
        },
      ],
    };
    for (const chart of [demoCurves([]), none]) {
      expect(linesOf(drawChart(chart, wide)).join(' ')).toContain('There is no curve to draw');
    }
  });
});
