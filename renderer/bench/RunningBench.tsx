import { Suspense, useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { useLetterKeys } from '../frame/use-letter-keys.ts';
import { runSheetAddresses } from '../run-sheet/run-sheet-addresses.ts';
import { Button } from '../ui/Button.tsx';
import { AudienceLink } from './AudienceLink.tsx';
import { BenchMessages } from './BenchMessages.tsx';
import type { Overlay } from './BenchOverlay.tsx';
import { BigFigure } from './BigFigure.tsx';
import { performPrimaryAction } from './bench-actions.ts';
import { CANNOT_STOP_TOOL } from './bench-sentences.ts';
import { CurvePane } from './CurvePane.tsx';
import { DecisionButtons } from './DecisionButtons.tsx';
import { HandlingPanel } from './handling/HandlingPanel.tsx';
import { useHandlingQuestion } from './handling/use-handling-question.ts';
import { BenchOverlay, SheetDialog } from './later-dialogs.ts';
import { NextStep } from './NextStep.tsx';
import { PreparationStrip } from './PreparationStrip.tsx';
import { PrimaryControl } from './PrimaryControl.tsx';
import { type BenchSentences, nothing, type PrimaryAction } from './primary-action.ts';
import { ResultPanel } from './ResultPanel.tsx';
import { ReviewPanel } from './ReviewPanel.tsx';
import { SheetProgress } from './SheetProgress.tsx';
import { isResting } from './sheet-sentences.ts';
import { StepEditor } from './StepEditor.tsx';
import { usePreparation } from './use-preparation.ts';

export interface RunningBenchProps {
  readonly status: BenchStatus;
  /** False: the status is the last that came, and nothing here is live. */
  readonly isReached: boolean;
  readonly sentences: BenchSentences;
  readonly axisPx: number;
}

/** The Bench with an amplifier, by run sheet or trial by trial. */
export function RunningBench({ status, isReached, sentences, axisPx }: RunningBenchProps) {
  const connection = useConnection();
  const [, navigate] = useLocation();
  const [overlay, setOverlay] = useState<Overlay | null>(null);
  const [leftSheet, setLeftSheet] = useState<{ readonly id: string; readonly name: string } | null>(null);
  const action = useAction();
  const { trial, runSheet } = status;
  const preparation = usePreparation(runSheet);
  const handling = useHandlingQuestion(status);
  const primary = primaryOf(sentences, preparation.missing);
  const isAtRest = isReached && !sentences.isUnderWay;
  // A trial that waits for an answer comes before the rest.
  const isRestShown =
    isAtRest &&
    runSheet !== null &&
    isResting(runSheet) &&
    primary.does === 'nothing' &&
    trial.phase !== 'reviewing';

  const showSummary = (): void => {
    if (status.session !== null) navigate(`/logbook/sessions/${encodeURIComponent(status.session.id)}`);
  };
  const act = (wanted: PrimaryAction): void => {
    void action.run(() =>
      performPrimaryAction(wanted, connection, {
        goTo: (address) => navigate(address),
        showSafetyList: () => setOverlay({ shows: 'safety' }),
        showSenseCheck: () => setOverlay({ shows: 'sense' }),
        askVoidReason: (trialId) => setOverlay({ shows: 'void', trialId }),
        found: preparation.found,
        showSummary,
      }),
    );
  };
  const takeZero = (): void => void action.run(() => connection.request('takeZero', {}));
  const canTakeZero = isAtRest && status.amplifier.link === 'connected';
  useLetterKeys({
    z: () => {
      if (canTakeZero) takeZero();
    },
  });
  const leaveSheet = async (sheet: { id: string; name: string }): Promise<void> => {
    setOverlay(null);
    if (await action.run(() => connection.request('leaveRunSheet', {}))) setLeftSheet(sheet);
  };
  const putBack = async (runSheetId: string): Promise<void> => {
    if (await action.run(() => connection.request('openRunSheet', { runSheetId }))) setLeftSheet(null);
  };

  return (
    <>
      <div className={`bench-head${runSheet === null ? '' : ' bench-head-of-sheet'}`}>
        <BigFigure status={status} isReached={isReached} isHeldBack={handling.state !== 'none'} />
        <NextStep
          sentences={sentences}
          trial={isReached ? trial : null}
          restLeftS={isRestShown ? runSheet.restLeftS : null}
        />
      </div>
      <div className="bench-middle">
        <CurvePane
          status={status}
          isReached={isReached}
          axisPx={axisPx}
          isHeldBack={handling.state !== 'none'}
        >
          {sentences.isUnderWay ? null : (
            <>
              <Link className="bench-link" href={runSheetAddresses.sheets}>
                Run sheets
              </Link>
              <AudienceLink host={status.host} />
            </>
          )}
        </CurvePane>
        {trial.phase === 'kept' && handling.state === 'none' ? (
          <ResultPanel trial={trial} calibration={status.calibration} />
        ) : null}
        {handling.state === 'none' ? null : <HandlingPanel question={handling} />}
        {trial.phase === 'reviewing' ? (
          <ReviewPanel
            trial={trial}
            isBusy={action.isBusy || !isReached}
            onKeep={(stopCause) =>
              void action.run(() => connection.request('keepTrial', { trialId: trial.trialId, stopCause }))
            }
          />
        ) : null}
      </div>
      {primary.does === 'takeUp' || preparation.missing.length > 0 ? (
        <PreparationStrip draft={preparation} />
      ) : null}
      <BenchMessages
        error={action.error}
        onCloseError={action.clearError}
        leftSheet={runSheet === null ? leftSheet : null}
        onPutBack={(runSheetId) => void putBack(runSheetId)}
      />
      <div className="bench-foot">
        {sentences.isUnderWay ? (
          <p className="bench-warning">{CANNOT_STOP_TOOL}</p>
        ) : (
          <>
            {runSheet === null ? (
              <StepEditor
                step={status.step}
                onChange={(step) => action.run(() => connection.request('updateSettings', { step }))}
                isDisabled={!isReached}
              />
            ) : (
              <>
                <SheetProgress sheet={runSheet} />
                <Button size="bench" isDisabled={!isReached} onPress={() => setOverlay({ shows: 'sheet' })}>
                  What is left
                </Button>
              </>
            )}
            <DecisionButtons trial={trial} primary={primary} onAct={act} onOpen={setOverlay} />
            {isRestShown ? (
              <div className="bench-cut-rest">
                <Button
                  size="bench"
                  onPress={() => {
                    const entryId = runSheet.current?.id ?? null;
                    void action.run(() => connection.request('armTrial', { entryId, isRestCut: true }));
                  }}
                >
                  Start without the rest
                </Button>
              </div>
            ) : null}
            <Button size="bench" isDisabled={!canTakeZero} onPress={takeZero}>
              Zero now
            </Button>
          </>
        )}
        <PrimaryControl action={primary} isBusy={action.isBusy} onAct={act} />
      </div>
      <Suspense>
        <BenchOverlay overlay={overlay} onClose={() => setOverlay(null)} onEnded={showSummary} />
        {overlay?.shows === 'sheet' && runSheet !== null ? (
          <SheetDialog
            sheet={runSheet}
            onOpen={setOverlay}
            onLeave={() => void leaveSheet(runSheet)}
            onClose={() => setOverlay(null)}
          />
        ) : null}
      </Suspense>
    </>
  );
}

/** What was typed and cannot be read must be put right before it can be taken. */
function primaryOf({ primary }: BenchSentences, missing: readonly string[]): PrimaryAction {
  return primary.does === 'takeUp' && missing.length > 0
    ? nothing(`Put right: ${missing.join(', ')}`)
    : primary;
}
