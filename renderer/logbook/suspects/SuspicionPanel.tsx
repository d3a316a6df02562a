import type { TrialSummary } from '../../../shared-lib/trial/trial-model.ts';
import { formatDateTime } from '../../ui/date-time.ts';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { StateShape } from '../../ui/StateShape.tsx';
import { DecideSuspects } from './DecideSuspects.tsx';
import { suspicionWords } from '../../../shared-lib/trial/words/suspicion-words.ts';

/** Why a trial is suspect and what was made of it; nothing where no check failed around it. */
export function SuspicionPanel({ summary }: { readonly summary: TrialSummary }) {
  const { id, suspicion } = summary;
  const words = suspicionWords(suspicion, formatDateTime);
  if (words === null || suspicion === null) return null;
  return (
    <Panel
      title="Failed daily check"
      actions={<LinkButton href="/calibrate/check">Look at the check</LinkButton>}
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
