import { useSearchParams } from 'wouter';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Page } from '../../ui/Panel.tsx';
import '../logbook.css';
import { logbookFilter } from '../logbook-filter.ts';
import { ReassignForm } from './ReassignForm.tsx';
import { MOST_TRIALS } from './matching-trials.ts';
import { useTrialsToReassign } from './use-trials-to-reassign.ts';

/** Trials read by another calibration version: first what would change, then the decision. The address says which trials. */
export function ReassignPage() {
  const [params] = useSearchParams();
  const trialId = params.get('trial');
  const { query, address } = logbookFilter(params);
  const back = trialId === null ? address : `/logbook/${trialId}`;
  const { trials, versionsInUse, transducerId, error } = useTrialsToReassign(trialId, query);

  return (
    <Page
      title="Reassign to another calibration"
      actions={
        <LinkButton href={back} look="quiet">
          {trialId === null ? 'Back to the list' : 'Back to the trial'}
        </LinkButton>
      }
    >
      <FailureNotice error={error} />
      {trials === null ? (
        <p role="status">{error === null ? 'Looking for the trials and their versions.' : ''}</p>
      ) : trials.length === 0 ? (
        <EmptyState title="No trial to reassign" actions={<LinkButton href={back}>Go back</LinkButton>}>
          <p>The filter finds no trial any more.</p>
        </EmptyState>
      ) : (
        <ReassignForm
          trialIds={trials}
          isCutShort={trials.length === MOST_TRIALS}
          versionsInUse={versionsInUse}
          transducerId={transducerId}
          back={back}
        />
      )}
    </Page>
  );
}
