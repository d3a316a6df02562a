import type { TorqueUnit } from '../../shared-lib/api-contract.ts';
import { type ChartKind, type ChartLook, chartLookSchema } from '../../shared-lib/charts/chart-model.ts';
import {
  chartKindSchema,
  type Subject,
  subjectSchema,
} from '../../shared-lib/publishing/publishing-model.ts';

/** What the place Share can show; each at an address of its own. */
export const shareViews = ['chart', 'report', 'data', 'replay', 'overlay', 'bring-in'] as const;
export type ShareView = (typeof shareViews)[number];

export const SHARE_ADDRESS = '/share';

/** The address at which something is published; it holds the subject, so that reload and bookmarks work. */
export function shareAddress(view: ShareView, subject: Subject | null): string {
  const address = `/share/${view}`;
  return subject === null ? address : `${address}?subject=${encodeURIComponent(JSON.stringify(subject))}`;
}

/** Null where the address names none, or none that can be read. */
export function readSubject(search: string): Subject | null {
  const text = new URLSearchParams(search).get('subject');
  if (text === null) return null;
  try {
    const read = subjectSchema.safeParse(JSON.parse(text));
    return read.success ? read.data : null;
  } catch (error) {
    if (error instanceof SyntaxError) return null;
    throw error;
  }
}

/** The same address with another subject; what was chosen besides stays. */
export function withSubject(params: URLSearchParams, subject: Subject): URLSearchParams {
  const next = new URLSearchParams(params);
  next.set('subject', JSON.stringify(subject));
  return next;
}

/** How a picture is wanted, as the address says it; null: as it comes. */
export interface PictureChoice {
  readonly chart: ChartKind | null;
  readonly format: ChartLook['format'];
  readonly theme: ChartLook['theme'];
  /** `none`: to be laid over something else. */
  readonly ground: 'solid' | 'none';
  /** Null: the unit of the program. */
  readonly unit: TorqueUnit | null;
}

const { format, theme, torqueUnit } = chartLookSchema.shape;

export function readPictureChoice(params: URLSearchParams): PictureChoice {
  return {
    chart: chartKindSchema.safeParse(params.get('chart')).data ?? null,
    format: format.safeParse(params.get('format')).data ?? 'wide',
    theme: theme.safeParse(params.get('theme')).data ?? 'light',
    ground: params.get('ground') === 'none' ? 'none' : 'solid',
    unit: torqueUnit.safeParse(params.get('unit')).data ?? null,
  };
}

export function withPictureChoice(params: URLSearchParams, change: Partial<PictureChoice>): URLSearchParams {
  const next = new URLSearchParams(params);
  for (const [name, value] of Object.entries(change)) {
    if (value === null) next.delete(name);
    else next.set(name, value);
  }
  return next;
}
