import type { SessionReport } from '../run-sheet/session-model.ts';
import { safetyWords, spanWords } from '../run-sheet/session-words.ts';
import type { Row } from './report-blocks.ts';
import type { ReportContext } from './report-context.ts';
import { surroundings } from './trial-facts.ts';

/** When, by whom and in what surroundings a session was held, and whether its safety list was confirmed. */
export function sessionRows(session: SessionReport, { formatInstant }: ReportContext): Row[] {
  return [
    { name: 'Session', value: spanWords(session.summary, formatInstant) },
    {
      name: 'Operator',
      value: session.summary.operator === '' ? 'no operator named' : session.summary.operator,
    },
    ...surroundings(session.conditions),
    { name: 'Safety list', value: safetyWords(session, formatInstant) },
  ];
}
