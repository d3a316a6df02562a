import { z } from 'zod';
import { chartSchema } from '../charts/chart-model.ts';

/** A report in words, tables and pictures, without any layout: HTML and PDF are written from the same. */
export const reportBlockSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('text'), text: z.string() }),
  z.strictObject({ kind: z.literal('list'), items: z.array(z.string()) }),
  /** What must not be overlooked. */
  z.strictObject({ kind: z.literal('caution'), text: z.string() }),
  z.strictObject({
    kind: z.literal('facts'),
    rows: z.array(z.strictObject({ label: z.string(), value: z.string() })),
  }),
  z.strictObject({
    kind: z.literal('table'),
    caption: z.string(),
    columns: z.array(z.strictObject({ label: z.string(), align: z.literal(['start', 'end']) })),
    rows: z.array(z.array(z.string())),
  }),
  z.strictObject({ kind: z.literal('chart'), chart: chartSchema, caption: z.string() }),
  /** What was decided, by whom and when, oldest first. */
  z.strictObject({
    kind: z.literal('trail'),
    events: z.array(z.strictObject({ at: z.string(), text: z.string() })),
  }),
]);
export type ReportBlock = z.infer<typeof reportBlockSchema>;

export const reportSchema = z.strictObject({
  title: z.string(),
  subtitle: z.string(),
  madeAt: z.string(),
  softwareVersion: z.string(),
  benchName: z.string(),
  isSimulated: z.boolean(),
  torqueUnit: z.literal(['Nm', 'ftLbf']),
  sections: z.array(z.strictObject({ heading: z.string(), blocks: z.array(reportBlockSchema) })),
});
export type Report = z.infer<typeof reportSchema>;
