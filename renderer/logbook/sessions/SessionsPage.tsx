import { Link, useSearchParams } from 'wouter';
import type { SessionSummary } from '../../../shared-lib/run-sheet/session-model.ts';
import { useStatus } from '../../api-client/ConnectionContext.tsx';
import { useRequest } from '../../api-client/use-request.ts';
import { operatorWords } from '../../../shared-lib/calibration/words/calibration-sentences.ts';
import '../../calibrate/figure-table.css';
import { formatDateTime } from '../../ui/date-time.ts';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Page, Panel } from '../../ui/Panel.tsx';
import '../logbook.css';
import { sessionAddress, sessionsAddress } from './session-addresses.ts';
import './sessions.css';

const PAGE_LENGTH = 50;

/** All sittings at the bench, newest first. */
export function SessionsPage() {
  const [params] = useSearchParams();
  const page = Math.max(0, Math.trunc(Number(params.get('page') ?? 0)) || 0);
  const { result, error } = useRequest(
    'listSessions',
    { offset: page * PAGE_LENGTH, limit: PAGE_LENGTH },
    'trialsChanged',
  );
  return (
    <Page title="Sessions" actions={<LinkButton href="/logbook">All trials</LinkButton>}>
      <FailureNotice error={error} />
      {result === null ? null : result.total === 0 ? (
        <EmptyState title="No sessions yet" actions={<LinkButton href="/bench">Go to the Bench</LinkButton>}>
          <p>
            A session is one sitting at the bench. It begins with the first trial, and its summary will stand
            here: what was pulled, what was left out and why, how the bench drifted, and how long tools
            pulled.
          </p>
        </EmptyState>
      ) : (
        <Panel
          title={result.total === 1 ? '1 session' : `${result.total} sessions`}
          lead="One sitting at the bench each, with its summary of the day."
        >
          <SessionTable sessions={result.sessions} />
          <PageLinks page={page} total={result.total} />
        </Panel>
      )}
    </Page>
  );
}

function SessionTable({ sessions }: { readonly sessions: readonly SessionSummary[] }) {
  const underWay = useStatus()?.session?.id;
  return (
    <div className="figure-table-frame">
      <table className="figure-table session-list">
        <caption className="visually-hidden">Sessions, newest first</caption>
        <thead>
          <tr>
            <th scope="col">Begun</th>
            <th scope="col">Operator</th>
            <th scope="col">Transducer</th>
            {['Trials', 'Kept', 'Voided', 'Interrupted'].map((title) => (
              <th key={title} scope="col" className="figure-table-number">
                {title}
              </th>
            ))}
            <th scope="col">Ended</th>
          </tr>
        </thead>
        <tbody>
          {sessions.map((session) => (
            <tr key={session.id}>
              <th scope="row">
                <Link href={sessionAddress(session.id)} className="session-link">
                  {formatDateTime(session.startedAt)}
                </Link>
              </th>
              <td>{operatorWords(session.operator)}</td>
              <td>
                {session.transducerName}
                {session.isSimulated ? ', simulated' : ''}
              </td>
              <td className="figure-table-number">{session.trialCount}</td>
              <td className="figure-table-number">{session.keptCount}</td>
              <td className="figure-table-number">{session.voidedCount}</td>
              <td className="figure-table-number">{session.interruptedCount}</td>
              <td>
                {session.id === underWay ? (
                  <strong>under way</strong>
                ) : session.endedAt === null ? (
                  '–'
                ) : (
                  formatDateTime(session.endedAt)
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function PageLinks({ page, total }: { readonly page: number; readonly total: number }) {
  if (page === 0 && total <= PAGE_LENGTH) return null;
  const address = (wanted: number) => (wanted === 0 ? sessionsAddress : `${sessionsAddress}?page=${wanted}`);
  return (
    <nav className="session-pages" aria-label="More sessions">
      {page === 0 ? null : <LinkButton href={address(page - 1)}>Newer ones</LinkButton>}
      {(page + 1) * PAGE_LENGTH >= total ? null : (
        <LinkButton href={address(page + 1)}>Older ones</LinkButton>
      )}
    </nav>
  );
}
