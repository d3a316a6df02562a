import type { TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { suspicionWords } from '../../../shared-lib/trial/words/suspicion-words.ts';
import { useStatus } from '../../api-client/ConnectionContext.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { StateShape } from '../../ui/StateShape.tsx';
import { DecideSuspects } from './DecideSuspects.tsx';

/** Why a trial is suspect and what was made of it; nothing where no check failed around it. */
export function SuspicionPanel({ record }: { readonly record: TrialRecord }) {
  const { id, suspicion } = record.summary;
  const transducerInUse = useStatus()?.transducer?.id;
  const words = suspicionWords(suspicion, formatDateTime);
  if (words === null || suspicion === null) return null;
  // The page of the checks has those of the transducer in use, and of earlier calibrations those that trials wait for.
  const isCheckShown = suspicion.decision === null && record.conditions.transducer.id === transducerInUse;
  return (
    <Panel
      title="Failed daily check"
      actions={isCheckShown ? <LinkButton href="/calibrate/check">Look at the check</LinkButton> : undefined}
    >
      <p className="trial-suspicion">
        <StateShape shape={words.shape ?? 'information'} />
        <span>
          <strong>{words.mark}.</strong> {words.sentence}
        </span>
      </p>
      <DecideSuspects trialIds={[id]} checkId={suspicion.checkId} isDecided={suspicion.decision !== null} />
    </Panel>
  );
}
