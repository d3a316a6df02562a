import { useEffect, useRef, useState } from 'react';
import type { CheckLoad, CheckMeans } from '../../../shared-lib/calibration/daily-check-model.ts';
import { useConnection, useStatus } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { ReasonDialog } from '../../bench/ReasonDialog.tsx';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { useFocusWhenGone } from '../../ui/use-focus-when-gone.ts';
import { formatSignificant } from '../../../shared-lib/format-significant.ts';
import { ArmDrawing } from '../ArmDrawing.tsx';
import { HangingWeightCaution } from '../HangingWeightCaution.tsx';
import { LiveCounts } from '../LiveCounts.tsx';
import { FindingsList } from '../result/FindingsList.tsx';
import { steadinessSentence } from '../steadiness.ts';
import { meansWords } from '../../../shared-lib/calibration/words/check-words.ts';
import { totalMassKg } from './check-means.ts';
import {
  type CheckPair,
  type CheckStep,
  heldStep,
  heldWords,
  type NewReference,
  pairAfter,
  stepWords,
  usualReferenceReasons,
} from './check-steps.ts';
import { SimulatedLoad } from './SimulatedLoad.tsx';
import { Verdict } from './Verdict.tsx';

interface CheckRunProps {
  readonly means: CheckMeans;
  /** Without a `stop` among its findings. */
  readonly load: CheckLoad;
  readonly newReference: NewReference;
  /** Other means are wanted. */
  readonly onChange: () => void;
  readonly onRecorded: () => void;
}

/** One button that always does the next right thing: it keeps the focus, so that one key does the whole check. */
export function CheckRun({ means, load: asked, newReference, onChange, onRecorded }: CheckRunProps) {
  const status = useStatus();
  const connection = useConnection();
  const action = useAction();
  const [step, setStep] = useState<CheckStep>({ kind: 'zero' });
  const [isAskedWhy, setIsAskedWhy] = useState(false);
  const buttonRef = useRef<HTMLButtonElement>(null);
  useEffect(() => buttonRef.current?.focus(), []);
  // What is beside it goes away with its step.
  const watch = useFocusWhenGone(() => buttonRef.current);
  const words = stepWords(step, means, asked);

  const record = async ({ zero, load, newReferenceReason }: CheckPair): Promise<void> => {
    const check = await connection.request('recordDailyCheck', {
      means,
      zeroCounts: zero.meanCounts,
      readingCounts: load.meanCounts,
      newReferenceReason,
    });
    setStep({ kind: 'done', check });
    onRecorded();
  };
  const recordIfSteady = async (pair: CheckPair): Promise<void> => {
    const held = heldStep(pair);
    if (held === null) await record(pair);
    else setStep(held);
  };
  const goOn = async (): Promise<void> => {
    if (step.kind === 'done') {
      setStep({ kind: 'zero' });
      return;
    }
    const capture = await connection.request('captureCounts', {});
    if (step.kind === 'zero') setStep({ kind: 'load', zero: capture });
    else await recordIfSteady(pairAfter(step, capture));
  };
  // Read anew also where a reading is held: that one was not steady.
  const takeReference = async (newReferenceReason: string): Promise<void> => {
    if (step.kind !== 'load' && step.kind !== 'held') return;
    const load = await connection.request('captureCounts', {});
    await recordIfSteady({ zero: step.zero, load, newReferenceReason });
  };
  const asksNewReference =
    means.kind === 'shunt' &&
    (step.kind === 'load' || (step.kind === 'held' && step.newReferenceReason === null));

  return (
    <Panel
      title="Check now"
      lead={meansWords(means)}
      actions={
        <Button look="quiet" onPress={onChange}>
          Check with something else
        </Button>
      }
    >
      {means.kind === 'weight' ? <HangingWeightCaution /> : null}
      <FindingsList findings={asked.findings} label="What is to be looked at before it is hung" />
      <div className="calibrate-work">
        <div className="check-now" {...watch}>
          <CheckProgress step={step} means={means} />
          <div role="status" className="check-instruction">
            {step.kind === 'done' ? null : (
              <>
                <h3>{words.title}</h3>
                <p className="check-sentence">{words.instruction}</p>
                {step.kind === 'load' ? (
                  <p className="calibrate-aside">Zero read. {steadinessSentence(step.zero, null)}</p>
                ) : null}
              </>
            )}
          </div>
          {step.kind === 'held' ? (
            <Notice kind="caution" live="alert">
              {heldWords(step).lead} {step.why}
            </Notice>
          ) : null}
          {step.kind === 'done' ? <Verdict check={step.check} way={asked.way} /> : null}
          <FailureNotice error={action.error} />
          <ActionRow>
            <Button
              ref={buttonRef}
              look={step.kind === 'done' ? 'plain' : 'primary'}
              size={step.kind === 'done' ? 'normal' : 'bench'}
              isDisabled={status?.amplifier.link !== 'connected'}
              isPending={action.isBusy}
              onPress={() => void action.run(goOn)}
            >
              {words.action}
            </Button>
            {step.kind === 'held' ? (
              <Button isPending={action.isBusy} onPress={() => void action.run(() => record(step))}>
                {heldWords(step).anyway}
              </Button>
            ) : null}
            {asksNewReference && newReference === 'free' ? (
              <Button look="quiet" onPress={() => setIsAskedWhy(true)}>
                Take it as a new reference
              </Button>
            ) : null}
            {step.kind === 'load' || step.kind === 'held' ? (
              <Button look="quiet" onPress={() => setStep({ kind: 'zero' })}>
                Begin again with the zero
              </Button>
            ) : null}
          </ActionRow>
          {asksNewReference && newReference === 'afterWeight' ? (
            <p className="calibrate-aside">
              A check that failed still stands, so no reading of the shunt can be taken as a new reference: a
              check with a weight has to pass first, in the same sense where a weight failed.
            </p>
          ) : null}
          {isAskedWhy ? (
            <ReasonDialog
              title="A new reference for the shunt"
              lead="This reading is not judged: later ones are held to it. The earlier reference and what was judged by it stay, and a mark on trials stays until it is decided on."
              usualReasons={usualReferenceReasons}
              ownWordsHelp="At least three characters. It is stored with the reference."
              actionLabel="Take it as a new reference"
              onDecide={takeReference}
              onClose={() => setIsAskedWhy(false)}
            />
          ) : null}
        </div>
        <aside className="calibrate-side" aria-label="Reading">
          <LiveCounts status={status} />
          {status?.amplifier.source === 'simulated' ? <SimulatedLoad means={means} /> : null}
          {means.kind === 'weight' && asked.way !== 'loadCell' ? (
            <ArmDrawing
              mass={formatSignificant(totalMassKg(means.weights), 'kg')}
              armLength={formatSignificant(means.arm.lengthM, 'm')}
              armAngleDeg={means.arm.angleDeg}
              gravity="gravity"
            />
          ) : null}
        </aside>
      </div>
    </Panel>
  );
}

interface CheckProgressProps {
  readonly step: CheckStep;
  readonly means: CheckMeans;
}

function CheckProgress({ step, means }: CheckProgressProps) {
  const place = step.kind === 'zero' ? 0 : step.kind === 'done' ? 2 : 1;
  const names = ['Zero', means.kind === 'shunt' ? 'Shunt' : 'Weight', 'Verdict'];
  return (
    <ol className="check-progress" aria-label="Steps of the check">
      {names.map((name, index) => (
        <li key={name} {...(index === place ? { 'aria-current': 'step' as const } : {})}>
          {index + 1}. {name}
          {index < place ? <span className="visually-hidden">, done</span> : null}
        </li>
      ))}
    </ol>
  );
}
