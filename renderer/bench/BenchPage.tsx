import { type CSSProperties, useState, useSyncExternalStore } from 'react';
import { useLocation } from 'wouter';
import type { BenchStatus, TrialView } from '../../shared-lib/bench-status.ts';
import {
  useConnection,
  useLinkState,
  useServiceProblem,
  useSettings,
  useStatus,
} from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { useLetterKeys } from '../frame/use-letter-keys.ts';
import { Button } from '../ui/Button.tsx';
import { Notice } from '../ui/Notice.tsx';
import { usePageTitle } from '../ui/use-page-title.ts';
import { BenchOverlay, type Overlay } from './BenchOverlay.tsx';
import { BigFigure } from './BigFigure.tsx';
import { performPrimaryAction } from './bench-actions.ts';
import {
  type BenchSentences,
  CANNOT_STOP_TOOL,
  describeBench,
  type PrimaryAction,
} from './bench-sentences.ts';
import { type BenchSizes, benchSizes } from './bench-sizes.ts';
import { CurvePane } from './CurvePane.tsx';
import { CutOffNotice } from './CutOffNotice.tsx';
import { NothingConnected } from './NothingConnected.tsx';
import { NextStep } from './NextStep.tsx';
import { PrimaryControl } from './PrimaryControl.tsx';
import { ResultPanel } from './ResultPanel.tsx';
import { ReviewPanel } from './ReviewPanel.tsx';
import { StepEditor } from './StepEditor.tsx';
import './bench.css';

/** Where trials are pulled: read from three metres, run with one key. */
export function BenchPage() {
  usePageTitle('Bench');
  const status = useStatus();
  const linkState = useLinkState();
  const sentences = describeBench(status, linkState, useServiceProblem());
  const sizes = useBenchSizes();
  if (status === null) {
    return (
      <div className="bench" style={sizeProperties(sizes)}>
        <h1 className="visually-hidden">Bench</h1>
        <NextStep sentences={sentences} trial={null} />
      </div>
    );
  }
  const isNothingConnected =
    status.amplifier.source === 'none' && status.trial.phase === 'idle' && linkState === 'open';
  return (
    <div className="bench" style={sizeProperties(sizes)}>
      <h1 className="visually-hidden">Bench</h1>
      {linkState === 'open' && !sentences.isUnderWay ? (
        <CutOffNotice trialIds={cutOffElsewhere(status)} />
      ) : null}
      {isNothingConnected ? (
        <NothingConnected />
      ) : (
        <RunningBench
          status={status}
          isReached={linkState === 'open'}
          sentences={sentences}
          axisPx={sizes.axisPx}
        />
      )}
    </div>
  );
}

/** The one in sight has its own sentence and buttons. */
function cutOffElsewhere({ trial, interruptedTrialIds }: BenchStatus): string[] {
  const inSight = 'trialId' in trial ? trial.trialId : null;
  return interruptedTrialIds.filter((trialId) => trialId !== inSight);
}

interface RunningBenchProps {
  readonly status: BenchStatus;
  /** False: the status is the last that came, and nothing here is live. */
  readonly isReached: boolean;
  readonly sentences: BenchSentences;
  readonly axisPx: number;
}

function RunningBench({ status, isReached, sentences, axisPx }: RunningBenchProps) {
  const connection = useConnection();
  const [, navigate] = useLocation();
  const [overlay, setOverlay] = useState<Overlay | null>(null);
  const action = useAction();
  const { trial } = status;

  const act = (primary: PrimaryAction): void => {
    void action.run(() =>
      performPrimaryAction(primary, connection, {
        goTo: (address) => navigate(address),
        showSafetyList: () => setOverlay({ shows: 'safety' }),
        showSenseCheck: () => setOverlay({ shows: 'sense' }),
        askVoidReason: (trialId) => setOverlay({ shows: 'void', trialId }),
      }),
    );
  };
  const takeZero = (): void => void action.run(() => connection.request('takeZero', {}));
  const canTakeZero = isReached && !sentences.isUnderWay && status.amplifier.link === 'connected';
  useLetterKeys({
    z: () => {
      if (canTakeZero) takeZero();
    },
  });

  return (
    <>
      <div className="bench-head">
        <BigFigure status={status} isReached={isReached} />
        <NextStep sentences={sentences} trial={isReached ? trial : null} />
      </div>
      <div className="bench-middle">
        <CurvePane status={status} isReached={isReached} axisPx={axisPx} />
        {trial.phase === 'kept' ? <ResultPanel trial={trial} calibration={status.calibration} /> : null}
        {trial.phase === 'reviewing' ? <ReviewPanel trial={trial} /> : null}
      </div>
      {action.error === null ? null : (
        <Notice
          kind="fault"
          live="alert"
          actions={
            <Button look="quiet" onPress={action.clearError}>
              Close
            </Button>
          }
        >
          {action.error.message}
        </Notice>
      )}
      <div className="bench-foot">
        {sentences.isUnderWay ? (
          <p className="bench-warning">{CANNOT_STOP_TOOL}</p>
        ) : (
          <>
            <StepEditor
              step={status.step}
              onChange={(step) => void action.run(() => connection.request('updateSettings', { step }))}
              isDisabled={!isReached}
            />
            <DecisionButtons trial={trial} primary={sentences.primary} onAct={act} onOpen={setOverlay} />
            <Button size="bench" isDisabled={!canTakeZero} onPress={takeZero}>
              Zero now
            </Button>
          </>
        )}
        <PrimaryControl action={sentences.primary} isBusy={action.isBusy} onAct={act} />
      </div>
      <BenchOverlay overlay={overlay} onClose={() => setOverlay(null)} />
    </>
  );
}

interface DecisionButtonsProps {
  readonly trial: TrialView;
  readonly primary: PrimaryAction;
  readonly onAct: (action: PrimaryAction) => void;
  readonly onOpen: (overlay: Overlay) => void;
}

/** What can be decided about the trial in sight, besides what the primary control does. */
function DecisionButtons({ trial, primary, onAct, onOpen }: DecisionButtonsProps) {
  if (trial.phase !== 'kept' && trial.phase !== 'reviewing' && trial.phase !== 'interrupted') return null;
  const { trialId } = trial;
  const isVoided = trial.phase === 'kept' && trial.isVoided;
  const isKeepOffered = !isVoided && (trial.phase === 'interrupted' || primary.does === 'askVoidReason');
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

function useBenchSizes(): BenchSizes {
  const screenPxPerMm = useSettings()?.screenPxPerMm ?? null;
  const widthPx = useSyncExternalStore(subscribeToResize, () => innerWidth);
  const heightPx = useSyncExternalStore(subscribeToResize, () => innerHeight);
  return benchSizes({ widthPx, heightPx, screenPxPerMm });
}

function subscribeToResize(listener: () => void): () => void {
  addEventListener('resize', listener);
  return () => removeEventListener('resize', listener);
}

function sizeProperties({ figurePx, stepPx, controlPx, targetPx }: BenchSizes): CSSProperties {
  // React's type of a style does not know custom properties.
  const properties: CSSProperties & Record<`--bench-${string}`, string> = {
    '--bench-figure': `${figurePx}px`,
    '--bench-step': `${stepPx}px`,
    '--bench-control-type': `${controlPx}px`,
    '--bench-target': `${targetPx}px`,
  };
  return properties;
}
