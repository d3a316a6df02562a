import type { SessionReport } from '../../../shared-lib/run-sheet/session-model.ts';
import { useConnection, useStatus } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { STATIC_CALIBRATION } from '../../bench/bench-sentences.ts';
import { useReloadOn } from '../../compare/use-reload-on.ts';
import { operatorWords } from '../../../shared-lib/calibration/words/calibration-sentences.ts';
import { ShareLink } from '../../share/ShareLink.tsx';
import { Button } from '../../ui/Button.tsx';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Page, Panel } from '../../ui/Panel.tsx';
import '../logbook.css';
import { sessionTrialsAddress } from '../logbook-filter.ts';
import { sessionsAddress } from './session-addresses.ts';
import { countWords, safetyWords, spanWords } from '../../../shared-lib/run-sheet/session-words.ts';
import { SessionConditionsPanel } from './SessionConditionsPanel.tsx';
import { SessionDrift } from './SessionDrift.tsx';
import { SessionExposure } from './SessionExposure.tsx';
import { SessionLosses } from './SessionLosses.tsx';
import { SessionSetups } from './SessionSetups.tsx';
import './sessions.css';

/** What statistics take in is a setting, and what a tool declares counts for the pulls that name it. */
const outdatedBy = ['settingsChanged', 'catalogueChanged'] as const;

/** The summary of a sitting at the bench, on screen and on paper. */
export function SessionPage({ sessionId }: { readonly sessionId: string }) {
  const { result: report, error, reload } = useRequest('getSessionReport', { sessionId }, 'trialsChanged');
  useReloadOn(outdatedBy, reload);
  const isThis = report?.summary.id === sessionId;
  return (
    <Page
      title={isThis ? `Session of ${formatDateTime(report.summary.startedAt)}` : 'Session'}
      actions={
        <>
          <LinkButton href={sessionsAddress} look="quiet">
            All sessions
          </LinkButton>
          <LinkButton href={sessionTrialsAddress(sessionId)}>Its trials</LinkButton>
          {isThis ? <ShareLink subject={{ kind: 'session', sessionId }} of="this session" /> : null}
          <Button look="primary" isDisabled={!isThis} onPress={() => window.print()}>
            Print
          </Button>
        </>
      }
    >
      <FailureNotice error={error} />
      {error?.code !== 'session-not-found' || isThis ? null : (
        <EmptyState
          title="No such session"
          actions={<LinkButton href={sessionsAddress}>All sessions</LinkButton>}
        >
          <p>Sessions are never deleted; this address may belong to other data.</p>
        </EmptyState>
      )}
      {isThis ? <SessionView report={report} onChanged={reload} /> : null}
    </Page>
  );
}

interface SessionViewProps {
  readonly report: SessionReport;
  readonly onChanged: () => void;
}

function SessionView({ report, onChanged }: SessionViewProps) {
  const isUnderWay = useStatus()?.session?.id === report.summary.id;
  return (
    <div className="session">
      <div className="session-top">
        <SessionFacts report={report} isUnderWay={isUnderWay} onChanged={onChanged} />
        <SessionConditionsPanel
          conditions={report.conditions}
          isUnderWay={isUnderWay}
          onChanged={onChanged}
        />
      </div>
      <SessionSetups report={report} />
      <SessionLosses report={report} />
      <SessionDrift report={report} />
      <SessionExposure exposure={report.exposure} />
      <p className="trial-aside">Torque: {STATIC_CALIBRATION.toLowerCase()}</p>
    </div>
  );
}

interface SessionFactsProps extends SessionViewProps {
  readonly isUnderWay: boolean;
}

function SessionFacts({ report, isUnderWay, onChanged }: SessionFactsProps) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const { summary } = report;
  const end = async () => {
    if (await run(() => connection.request('endSession', {}))) onChanged();
  };
  return (
    <Panel
      title="Session"
      actions={
        isUnderWay ? (
          <Button isPending={isBusy} onPress={() => void end()}>
            End this session
          </Button>
        ) : null
      }
    >
      <FailureNotice error={error} />
      <DataList label="Session">
        <DataRow name="When">
          {isUnderWay
            ? `${formatDateTime(summary.startedAt)}, under way`
            : spanWords(summary, formatDateTime)}
        </DataRow>
        <DataRow name="Trials">{countWords(summary)}</DataRow>
        <DataRow name="Operator">{operatorWords(summary.operator)}</DataRow>
        <DataRow name="Transducer">
          {summary.transducerName}
          {summary.isSimulated ? ', simulated' : ''}
        </DataRow>
        <DataRow name="Safety list">{safetyWords(report, formatDateTime)}</DataRow>
      </DataList>
      {isUnderWay ? (
        <p className="trial-aside session-on-screen">
          The next trial after the end begins a new session. The operator is named in Setup.
        </p>
      ) : null}
    </Panel>
  );
}
