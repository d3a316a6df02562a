import type { ChartKind, ChartLook } from '../../../shared-lib/charts/chart-model.ts';
import { chartFormats } from '../../../shared-lib/charts/chart-model.ts';
import type { Subject, SubjectDescription } from '../../../shared-lib/publishing/publishing-model.ts';
import { publishedName } from '../../../shared-lib/publishing/published-name.ts';
import type { PictureChoice } from '../share-address.ts';

export const chartNames: Record<ChartKind, string> = {
  curves: 'Curves',
  means: 'Means',
  places: 'Places',
  residuals: 'Residuals',
};

const formatNames: Record<ChartLook['format'], string> = {
  wide: 'Wide',
  square: 'Square',
  upright: 'Upright',
  print: 'Print, A4',
};

/** "Wide, 1920 × 1080". */
export const formatChoices = (['wide', 'square', 'upright', 'print'] as const).map((key) => {
  const { widthPx, heightPx } = chartFormats[key];
  return { key, label: `${formatNames[key]}, ${widthPx} × ${heightPx}` };
});

/** "hollin-h5-against-tarnwick-t6-simulated-curves-wide-dark-2026-11-26-1412.png". */
export function pictureName(
  { title, isSimulated }: SubjectDescription,
  chart: ChartKind,
  { format, theme, ground }: Pick<PictureChoice, 'format' | 'theme' | 'ground'>,
  madeAt: Date,
  extension: 'png' | 'svg',
): string {
  const holds = `${chart} ${format} ${theme}${ground === 'none' ? ' without ground' : ''}`;
  return publishedName({ title, isSimulated, holds, madeAt, extension });
}

/** Why there is no picture, and what to do instead. */
export function noChartWords({ kind }: Subject): string {
  switch (kind) {
    case 'everything':
      return 'There is no picture of everything. Its data go out under Data; for a picture choose a comparison, a trial or a table.';
    case 'comparison':
      return 'There is no picture of these two as long as they cannot be compared.';
    case 'trial':
      return 'There is no picture of a trial that nobody has decided on: keep it or void it first.';
    case 'session':
      return 'There is no picture of a session without a kept trial.';
    case 'calibration':
      return 'This calibration was entered, not made in a guided run, so there are no readings to draw.';
    case 'standings':
    case 'edition':
      return 'There is no picture of a table in which nobody is ranked.';
  }
}
