import { useState } from 'react';
import type { RequestParams } from '../../../shared-lib/api-contract.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { ReasonDialog } from '../../bench/ReasonDialog.tsx';
import { Button } from '../../ui/Button.tsx';
import { ActionRow } from '../../ui/Panel.tsx';
import { trialCountWords, usualExcludedReasons, usualUsableReasons } from './suspect-sentences.ts';

interface Asked extends Pick<RequestParams<'decideSuspects'>, 'decision' | 'checkId'> {
  readonly trialIds: readonly string[];
}

interface DecideSuspectsProps {
  readonly trialIds: readonly string[];
  /** Under whose mark they are shown. */
  readonly checkId: number;
  /** A decision was made before and may be made anew; the earlier one stays in the trail. */
  readonly isDecided?: boolean;
}

/** The most that the contract takes at once. */
const MOST_AT_ONCE = 5000;

const dialogs = {
  usable: {
    label: 'They are usable',
    labelOfOne: 'It is usable',
    title: 'Usable as they are',
    lead: 'They stay in use everywhere. The mark, the decision and its reason stay with each of them.',
    reasons: usualUsableReasons,
  },
  excluded: {
    label: 'Leave them out',
    labelOfOne: 'Leave it out',
    title: 'Leave them out',
    lead: 'They stay in the Logbook with their figures, and are left out wherever trials are used. It can be decided anew.',
    reasons: usualExcludedReasons,
  },
} as const;

function labelOf(decision: Asked['decision'], trialIds: readonly string[]): string {
  return trialIds.length === 1 ? dialogs[decision].labelOfOne : dialogs[decision].label;
}

/** What becomes of trials under the mark of a failed check: a stored decision with its reason. */
export function DecideSuspects({ trialIds, checkId, isDecided = false }: DecideSuspectsProps) {
  const connection = useConnection();
  // Check and trials as they were shown at the press: the reason is about those, whatever is recorded behind the dialog.
  const [asked, setAsked] = useState<Asked | null>(null);
  const decide = async (about: Asked, reason: string): Promise<void> => {
    for (let first = 0; first < about.trialIds.length; first += MOST_AT_ONCE) {
      const some = about.trialIds.slice(first, first + MOST_AT_ONCE);
      await connection.request('decideSuspects', { ...about, trialIds: some, reason });
    }
  };
  return (
    <>
      <ActionRow>
        {(['usable', 'excluded'] as const).map((decision) => (
          <Button key={decision} onPress={() => setAsked({ decision, checkId, trialIds })}>
            {labelOf(decision, trialIds)}
          </Button>
        ))}
        <span className="trial-aside">
          {isDecided ? 'Decide anew about' : 'Decides about'} {trialCountWords(trialIds.length)}.
        </span>
      </ActionRow>
      {asked === null ? null : (
        <ReasonDialog
          title={
            asked.trialIds.length === 1 ? dialogs[asked.decision].labelOfOne : dialogs[asked.decision].title
          }
          lead={dialogs[asked.decision].lead}
          usualReasons={dialogs[asked.decision].reasons}
          ownWordsHelp="At least three characters. It is stored with each trial."
          actionLabel={`${labelOf(asked.decision, asked.trialIds)}: ${trialCountWords(asked.trialIds.length)}`}
          onDecide={(reason) => decide(asked, reason)}
          onClose={() => setAsked(null)}
        />
      )}
    </>
  );
}
