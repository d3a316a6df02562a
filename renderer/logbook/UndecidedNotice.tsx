import { useStatus } from '../api-client/ConnectionContext.tsx';
import { useRequest } from '../api-client/use-request.ts';
import { Button } from '../ui/Button.tsx';
import { Notice } from '../ui/Notice.tsx';
import { undecidedSentence } from '../../shared-lib/trial/words/trial-sentences.ts';

export type UndecidedState = 'reviewing' | 'interrupted';

/** Trials that wait for a decision are easily forgotten after a restart: they stand on no other page. */
export function UndecidedNotice({ onShow }: { readonly onShow: (state: UndecidedState) => void }) {
  const { result } = useRequest(
    'listTrials',
    { search: '', state: 'reviewing', offset: 0, limit: 1 },
    'trialsChanged',
  );
  const reviewing = result?.total ?? 0;
  // Not those of other benches, which were interrupted there.
  const interrupted = useStatus()?.interruptedTrialIds.length ?? 0;
  if (reviewing + interrupted === 0) return null;
  return (
    <Notice
      kind="caution"
      actions={
        <>
          {reviewing === 0 ? null : (
            <Button onPress={() => onShow('reviewing')}>Show those to be decided</Button>
          )}
          {interrupted === 0 ? null : (
            <Button onPress={() => onShow('interrupted')}>Show the interrupted</Button>
          )}
        </>
      }
    >
      {undecidedSentence(reviewing, interrupted)}
    </Notice>
  );
}
