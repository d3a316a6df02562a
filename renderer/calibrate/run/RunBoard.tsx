import { useRef } from 'react';
import { instructionFor } from '../../../shared-lib/calibration/run-instructions.ts';
import type { CalibrationRun } from '../../../shared-lib/calibration/run-model.ts';
import { useConnection, useStatus } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { INERT_AFTER_END_MS } from '../../bench/press-rules.ts';
import { usePrimaryPress } from '../../bench/use-primary-press.ts';
import { useLetterKeys } from '../../frame/use-letter-keys.ts';
import { sourceMark } from '../../frame/status-sentences.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { StateShape } from '../../ui/StateShape.tsx';
import '../../ui/state-shape.css';
import { useDebounced } from '../../ui/use-debounced.ts';
import { useArrivalFocus } from '../use-arrival-focus.ts';
import { LiveCounts } from '../LiveCounts.tsx';
import { DiscardRun } from './DiscardRun.tsx';
import { LoadedArm } from './LoadedArm.tsx';
import { ReadingTable } from './ReadingTable.tsx';
import { primaryAction, primaryLabels, progressWords } from './run-sentences.ts';
import { RunningResiduals } from './RunningResiduals.tsx';
import { SimulatedHands } from './SimulatedHands.tsx';
import { SteadinessMeter } from './SteadinessMeter.tsx';
import { useRunProgress } from './use-open-run.ts';

/** While weights are hung: what to do now, whether it is steady, and what has come of it so far. */
export function RunBoard({ run }: { readonly run: CalibrationRun }) {
  const connection = useConnection();
  const status = useStatus();
  const progress = useRunProgress(run.id);
  const action = useAction();
  const buttonRef = useRef<HTMLButtonElement>(null);
  const arrivalRef = useArrivalFocus<HTMLElement>();
  const { id: runId, nextIndex } = run;
  const isNextNew = useDebounced(nextIndex, INERT_AFTER_END_MS) !== nextIndex;
  const instruction = instructionFor(run, progress);
  const primary = primaryAction(run, progress);

  const press = () => {
    if (action.isBusy) return;
    void action.run(async () => {
      if (primary === 'resume') await connection.request('resumeRun', { runId });
      if (nextIndex === null) return;
      const shown = { runId, index: nextIndex };
      if (primary === 'confirm') await connection.request('confirmHandling', shown);
      if (primary === 'take' || primary === 'takeAnyway') await connection.request('takeReading', shown);
    });
  };
  const redo = (index: number) => void action.run(() => connection.request('redoReading', { runId, index }));
  const newest = run.taken.reduce<number | null>(
    (newestYet, reading) =>
      newestYet === null || reading.id > (run.taken.find(({ index }) => index === newestYet)?.id ?? 0)
        ? reading.index
        : newestYet,
    null,
  );
  const pause = () => {
    if (run.state === 'running') void action.run(() => connection.request('pauseRun', { runId }));
  };
  const primaryPress = usePrimaryPress({
    // A press that was meant for the reading that has just taken itself takes no other one.
    meaning: primary === 'none' || isNextNew ? 'none' : 'press',
    onPress: press,
    // Nothing here is stopped by a hold: a run is paused.
    onStop: () => undefined,
    buttonRef,
  });
  useLetterKeys({
    r: () => {
      if (newest !== null) redo(newest);
    },
    p: pause,
  });
  // The first one of a held reading is the instruction itself.
  const isHeld = progress?.phase === 'held' && run.state === 'running';
  const otherFlags = isHeld ? progress.flags.slice(1) : (progress?.flags ?? []);
  const mark = status === null ? null : sourceMark(status.amplifier.source);
  const doneCount = run.nextIndex ?? run.readings.length;

  return (
    <>
      <section ref={arrivalRef} tabIndex={-1} className="run-now" aria-label="What to do now">
        <div className="run-now-text" role="status">
          <p className="run-now-sentence">
            {isHeld ? <StateShape shape="caution" /> : null}
            {instruction.sentence}
          </p>
          <p className="run-now-detail">{instruction.detail}</p>
        </div>
        <div className="run-now-progress">
          <span>{progressWords(run)}</span>
          <progress
            className="run-now-bar"
            aria-label="Readings taken"
            value={doneCount}
            max={run.readings.length}
          />
          {mark === null ? null : <span className="status-mark">{mark}</span>}
        </div>
      </section>
      <FailureNotice error={action.error} />
      <div className="run-stage">
        <div className="run-reading">
          <LoadedArm run={run} />
          {run.isSimulated && status?.amplifier.source === 'simulated' ? (
            <SimulatedHands run={run} progress={progress} />
          ) : null}
        </div>
        <div className="run-reading">
          <LiveCounts status={status} />
          <SteadinessMeter progress={progress} isPaused={run.state === 'paused'} />
          {otherFlags.map(({ code, sentence }) => (
            <Notice key={code} kind="caution" live="alert">
              {sentence}
            </Notice>
          ))}
          <div className="run-actions">
            <Button
              ref={buttonRef}
              look="primary"
              size="bench"
              isDisabled={primary === 'none'}
              onPressStart={primaryPress.onPressStart}
              onPressEnd={primaryPress.onPressEnd}
              onPress={primaryPress.onPress}
            >
              {primaryLabels[primary]}
            </Button>
            <span className="run-aside">Space or a pedal does the same</span>
          </div>
          <div className="run-actions">
            <Button isDisabled={newest === null} onPress={() => newest !== null && redo(newest)}>
              Take the last one again (R)
            </Button>
            {run.state === 'running' ? <Button onPress={pause}>Pause (P)</Button> : null}
            <DiscardRun run={run} />
          </div>
        </div>
      </div>
      <RunningResiduals run={run} />
      <ReadingTable run={run} onRedo={redo} />
    </>
  );
}
