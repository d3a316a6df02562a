import { useMemo } from 'react';
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
  const trialIds = params.getAll('trial');
  const { query, address } = useMemo(() => logbookFilter(params), [params]);
  const [only] = trialIds;
  const isOne = only !== undefined && trialIds.length === 1;
  const back = isOne ? `/logbook/${encodeURIComponent(only)}` : address;
  const { trials, versionsInUse, transducer, error } = useTrialsToReassign(trialIds, query);

  return (
    <Page
      title="Reassign to another calibration"
      actions={
        <LinkButton href={back} look="quiet">
          {isOne ? 'Back to the trial' : 'Back to the list'}
        </LinkButton>
      }
    >
      <FailureNotice error={error} />
      {trials === null ? (
        <p role="status">{error === null ? 'Looking for the trials and their versions.' : ''}</p>
      ) : transducer === null ? (
        <EmptyState title="No trial to reassign" actions={<LinkButton href={back}>Go back</LinkButton>}>
          <p>The filter finds no trial any more.</p>
        </EmptyState>
      ) : (
        <ReassignForm
          trialIds={trials}
          isCutShort={trials.length === MOST_TRIALS}
          versionsInUse={versionsInUse}
          transducer={transducer}
          back={back}
        />
      )}
    </Page>
  );
}
