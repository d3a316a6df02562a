import type { Chart } from '../charts/chart-model.ts';
import type { Report, ReportBlock } from './report-model.ts';

/** The pieces that reports are put together from. What would be empty is left out, so that no heading stands alone. */
export type ReportSection = Report['sections'][number];

export interface Row {
  readonly name: string;
  readonly value: string;
  readonly note?: string | null;
}

/** A chart that was drawn for the report; null: the subject has no such chart. */
export interface ReportChart {
  readonly chart: Chart;
  readonly caption: string;
}

export function section(heading: string, blocks: readonly (ReportBlock | null)[]): ReportSection[] {
  const there = blocks.filter((block) => block !== null);
  return there.length === 0 ? [] : [{ heading, blocks: there }];
}

export function text(words: string): ReportBlock | null {
  return words === '' ? null : { kind: 'text', text: words };
}

export function list(items: readonly string[]): ReportBlock | null {
  return items.length === 0 ? null : { kind: 'list', items: [...items] };
}

export function caution(words: string): ReportBlock {
  return { kind: 'caution', text: words };
}

export function facts(rows: readonly Row[]): ReportBlock | null {
  if (rows.length === 0) return null;
  return {
    kind: 'facts',
    rows: rows.map(({ name, value, note }) => ({ label: name, value: withNote(value, note ?? '') })),
  };
}

/** What stands for no value says nothing beside the reason for it. */
function withNote(value: string, note: string): string {
  if (note === '') return value;
  if (value === '–' || value === '') return note;
  return /^\p{Lu}/u.test(note) ? `${value}. ${note}` : `${value}; ${note}`;
}

/** `columns`: a label that begins with ">" is a column of figures, which stand at its end. */
export function table(
  caption: string,
  columns: readonly string[],
  rows: readonly (readonly string[])[],
): ReportBlock | null {
  if (rows.length === 0) return null;
  return {
    kind: 'table',
    caption,
    columns: columns.map((label) =>
      label.startsWith('>') ? { label: label.slice(1), align: 'end' } : { label, align: 'start' },
    ),
    rows: rows.map((row) => [...row]),
  };
}

export function charts(drawn: readonly ReportChart[]): ReportBlock[] {
  return drawn.map(({ chart, caption }) => ({ kind: 'chart', chart, caption }));
}

export interface TrailEvent {
  readonly at: string;
  readonly text: string;
}

/** Oldest first; what happened at one instant stays in the order in which it was given. */
export function trail(events: readonly TrailEvent[]): ReportBlock | null {
  if (events.length === 0) return null;
  return { kind: 'trail', events: events.toSorted((one, other) => one.at.localeCompare(other.at)) };
}
