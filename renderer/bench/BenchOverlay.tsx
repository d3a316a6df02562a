import { useConnection } from '../api-client/ConnectionContext.tsx';
import { usualCutOffReasons, usualRestoreReasons, usualVoidReasons } from './decision-reasons.ts';
import { ReasonDialog } from './ReasonDialog.tsx';
import { SafetyDialog } from './SafetyDialog.tsx';
import { SenseDialog } from './SenseDialog.tsx';

/** What lies over the Bench, one at a time. */
export type Overlay =
  | { readonly shows: 'safety' | 'sense' }
  | { readonly shows: 'void' | 'voidCutOff' | 'restore'; readonly trialId: string };

const voiding = {
  request: 'voidTrial',
  title: 'Void this trial',
  lead: 'It stays in the Logbook with its samples and this reason, is counted as voided, and can be taken back.',
  actionLabel: 'Void this trial',
} as const;

const decisions = {
  void: { ...voiding, usualReasons: usualVoidReasons },
  voidCutOff: { ...voiding, usualReasons: usualCutOffReasons },
  restore: {
    request: 'restoreTrial',
    title: 'Undo the void',
    lead: 'The trial counts as kept again; both decisions stay in its trail.',
    actionLabel: 'Count it as kept again',
    usualReasons: usualRestoreReasons,
  },
} as const;

export interface BenchOverlayProps {
  readonly overlay: Overlay | null;
  readonly onClose: () => void;
}

export function BenchOverlay({ overlay, onClose }: BenchOverlayProps) {
  return (
    <>
      <SafetyDialog isOpen={overlay?.shows === 'safety'} onClose={onClose} />
      <SenseDialog isOpen={overlay?.shows === 'sense'} onClose={onClose} />
      {overlay === null || !('trialId' in overlay) ? null : (
        <DecisionDialog decision={overlay.shows} trialId={overlay.trialId} onClose={onClose} />
      )}
    </>
  );
}

interface DecisionDialogProps {
  readonly decision: keyof typeof decisions;
  readonly trialId: string;
  readonly onClose: () => void;
}

/** Asks for the reason of a decision about a trial and stores both. Mount it when it is wanted. */
export function DecisionDialog({ decision, trialId, onClose }: DecisionDialogProps) {
  const connection = useConnection();
  const { request, ...dialog } = decisions[decision];
  return (
    <ReasonDialog
      {...dialog}
      onDecide={(reason) => connection.request(request, { trialId, reason })}
      onClose={onClose}
    />
  );
}
