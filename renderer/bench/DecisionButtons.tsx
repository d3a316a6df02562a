import type { TrialView } from '../../shared-lib/bench-status.ts';
import { Button } from '../ui/Button.tsx';
import type { Overlay } from './BenchOverlay.tsx';
import type { PrimaryAction } from './primary-action.ts';
import { asksStopCause } from '../../shared-lib/trial/words/stop-causes.ts';

export interface DecisionButtonsProps {
  readonly trial: TrialView;
  readonly primary: PrimaryAction;
  readonly onAct: (action: PrimaryAction) => void;
  readonly onOpen: (overlay: Overlay) => void;
}

/** What can be decided about the trial in sight, besides what the primary control does. */
export function DecisionButtons({ trial, primary, onAct, onOpen }: DecisionButtonsProps) {
  if (trial.phase !== 'kept' && trial.phase !== 'reviewing' && trial.phase !== 'interrupted') return null;
  const { trialId } = trial;
  const isVoided = trial.phase === 'kept' && trial.isVoided;
  // Where it is asked what ended the run, its three answers keep it.
  const isCauseAsked = trial.phase === 'reviewing' && asksStopCause(trial.quality);
  const isKeepOffered =
    !isVoided && !isCauseAsked && (trial.phase === 'interrupted' || primary.does === 'askVoidReason');
  const openVoiding = (): void => {
    if (isVoided) onOpen({ shows: 'restore', trialId });
    else onOpen({ shows: trial.phase === 'interrupted' ? 'voidCutOff' : 'void', trialId });
  };
  return (
    <>
      {isKeepOffered ? (
        <Button size="bench" onPress={() => onAct({ does: 'keep', label: 'Keep', trialId })}>
          Keep
        </Button>
      ) : null}
      {/* One button for both ways, so that the focus is still there when the dialog gives it back. */}
      {primary.does === 'askVoidReason' ? null : (
        <Button key="voiding" size="bench" onPress={openVoiding}>
          {isVoided ? 'Undo the void' : 'Void'}
        </Button>
      )}
    </>
  );
}
