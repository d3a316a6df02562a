import { z } from 'zod';
import { float64ArraySchema } from '../typed-array-schemas.ts';

/** What is drawn, in SI and without any place on the paper; `ChartLook` says how. */

/** Width and height in px; `print` is A4 across at 300 dpi. */
export const chartFormats = {
  wide: { widthPx: 1920, heightPx: 1080 },
  square: { widthPx: 1080, heightPx: 1080 },
  upright: { widthPx: 1080, heightPx: 1920 },
  print: { widthPx: 3508, heightPx: 2480 },
} as const;

export const chartLookSchema = z.strictObject({
  format: z.literal(['wide', 'square', 'upright', 'print']),
  theme: z.literal(['light', 'dark']),
  torqueUnit: z.literal(['Nm', 'ftLbf']),
});
export type ChartLook = z.infer<typeof chartLookSchema>;

const heading = {
  title: z.string(),
  subtitle: z.string(),
  /** Under the picture: n, calibration, date, rate, cautions, "demo". */
  notes: z.array(z.string()),
};

/** Which of the five colours and dash patterns; a tool keeps its own in every picture. */
const colourSchema = z.int().min(0).max(4);

export const curveChartSchema = z.strictObject({
  kind: z.literal('curves'),
  ...heading,
  /** Time is from onset. One curve is one run; runs of one tool share label and colour. */
  curves: z
    .array(
      z.strictObject({
        trialId: z.string(),
        label: z.string(),
        colour: colourSchema,
        timeS: float64ArraySchema,
        torqueNm: float64ArraySchema,
      }),
    )
    .max(60),
  /** The time axis, [0, plannedS] and a little around it. */
  plannedS: z.number().positive(),
  /** Torques with a name: a claim, a level. */
  levels: z.array(z.strictObject({ torqueNm: z.number(), label: z.string() })).max(6),
  /** Interval of the ratio at checkpoints, for a comparison; empty: none. */
  checkpoints: z.array(z.strictObject({ atS: z.number(), isClear: z.boolean(), text: z.string() })),
});
export type CurveChart = z.infer<typeof curveChartSchema>;

export const meansChartSchema = z.strictObject({
  kind: z.literal('means'),
  ...heading,
  quantity: z.literal(['torque', 'time']),
  quantityWords: z.string(),
  rows: z
    .array(
      z.strictObject({
        label: z.string(),
        colour: colourSchema,
        mean: z.number(),
        /** 95 % interval; null: too little is known. */
        low: z.number().nullable(),
        high: z.number().nullable(),
        runs: z.array(z.number()),
      }),
    )
    .max(60),
  levels: z.array(z.strictObject({ value: z.number(), label: z.string() })).max(6),
});
export type MeansChart = z.infer<typeof meansChartSchema>;

export const placesChartSchema = z.strictObject({
  kind: z.literal('places'),
  ...heading,
  rows: z
    .array(
      z.strictObject({
        label: z.string(),
        place: z.int(),
        /** Null: no range could be given. */
        bestPlace: z.int().nullable(),
        worstPlace: z.int().nullable(),
        total: z.number(),
        terms: z.array(z.strictObject({ label: z.string(), points: z.number().nullable() })),
      }),
    )
    .max(200),
});
export type PlacesChart = z.infer<typeof placesChartSchema>;

export const residualsChartSchema = z.strictObject({
  kind: z.literal('residuals'),
  ...heading,
  senses: z
    .array(
      z.strictObject({
        label: z.string(),
        points: z.array(z.strictObject({ torqueNm: z.number(), residualNm: z.number(), series: z.string() })),
        /** Expanded uncertainty per step. */
        limits: z.array(z.strictObject({ torqueNm: z.number(), expandedNm: z.number() })),
      }),
    )
    .max(2),
});
export type ResidualsChart = z.infer<typeof residualsChartSchema>;

export const chartSchema = z.discriminatedUnion('kind', [
  curveChartSchema,
  meansChartSchema,
  placesChartSchema,
  residualsChartSchema,
]);
export type Chart = z.infer<typeof chartSchema>;
export type ChartKind = Chart['kind'];
