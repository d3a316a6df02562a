import { useConnection } from '../api-client/ConnectionContext.tsx';
import {
  usualCutOffReasons,
  usualEndReasons,
  usualRestoreReasons,
  usualSkipReasons,
  usualVoidReasons,
} from './decision-reasons.ts';
import { ReasonDialog } from './ReasonDialog.tsx';
import { SafetyDialog } from './SafetyDialog.tsx';
import { SenseDialog } from './SenseDialog.tsx';

/** What lies over the Bench, one at a time. */
export type Overlay =
  | { readonly shows: 'safety' | 'sense' | 'sheet' }
  | DecisionOverlay
  | { readonly shows: 'skip'; readonly entryId: string; readonly entryName: string }
  | { readonly shows: 'endEarly'; readonly runSheetId: string };

interface DecisionOverlay {
  readonly shows: 'void' | 'voidCutOff' | 'restore';
  readonly trialId: string;
}

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
  /** The sheet was ended before it was through. */
  readonly onEnded: () => void;
}

/** All of them but the list of what is left, which needs the sheet: SheetDialog.tsx. */
export function BenchOverlay({ overlay, onClose, onEnded }: BenchOverlayProps) {
  return (
    <>
      {overlay?.shows === 'safety' ? <SafetyDialog onClose={onClose} /> : null}
      <SenseDialog isOpen={overlay?.shows === 'sense'} onClose={onClose} />
      {overlay === null || !('trialId' in overlay) ? null : (
        <DecisionDialog decision={overlay.shows} trialId={overlay.trialId} onClose={onClose} />
      )}
      {overlay?.shows === 'skip' ? (
        <SkipDialog entryId={overlay.entryId} entryName={overlay.entryName} onClose={onClose} />
      ) : null}
      {overlay?.shows === 'endEarly' ? (
        <EndEarlyDialog runSheetId={overlay.runSheetId} onEnded={onEnded} onClose={onClose} />
      ) : null}
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

interface SkipDialogProps {
  readonly entryId: string;
  readonly entryName: string;
  readonly onClose: () => void;
}

function SkipDialog({ entryId, entryName, onClose }: SkipDialogProps) {
  const connection = useConnection();
  return (
    <ReasonDialog
      title="Skip this pull"
      lead={`${entryName}. It stays in the sheet as skipped, with this reason, and can be taken back.`}
      usualReasons={usualSkipReasons}
      ownWordsHelp="At least three characters. It is stored with the sheet and stands in the summary."
      actionLabel="Skip it"
      onDecide={(reason) => connection.request('skipEntry', { entryId, reason })}
      onClose={onClose}
    />
  );
}

interface EndEarlyDialogProps extends Pick<BenchOverlayProps, 'onEnded' | 'onClose'> {
  readonly runSheetId: string;
}

function EndEarlyDialog({ runSheetId, onEnded, onClose }: EndEarlyDialogProps) {
  const connection = useConnection();
  return (
    <ReasonDialog
      title="End the day early"
      lead="The sheet is closed as it stands; nothing of it is deleted. To go on another day, take it off the bench instead."
      usualReasons={usualEndReasons}
      ownWordsHelp="At least three characters. It is stored with the sheet."
      actionLabel="End the day"
      onDecide={async (reason) => {
        await connection.request('closeRunSheet', { runSheetId, reason });
        onEnded();
      }}
      onClose={onClose}
    />
  );
}
