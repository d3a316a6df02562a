import type { Figure } from '../measured-figures.ts';
import type { FiguresReport } from './messages.ts';

/** In a process of its own: takes the figures of what it was started with, and reports them. */
export async function reportFigures(
  // Of a subject that only the process and its starter know.
  measure: (subject: never) => Promise<Record<string, Figure>>,
): Promise<void> {
  const [subject] = process.argv.slice(2);
  if (subject === undefined) throw new Error('Needs what is to be measured');
  const report: FiguresReport = { type: 'figures', figures: await measure(JSON.parse(subject) as never) };
  process.send?.(report);
}
