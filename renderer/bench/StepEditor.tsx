import { type KeyboardEvent, useEffect, useRef, useState } from 'react';
import type { TorqueUnit } from '../../shared-lib/api-contract.ts';
import { formatTorque, withUnitNamed } from '../../shared-lib/format-quantity.ts';
import type { Direction, Kind, Step } from '../../shared-lib/trial/step-model.ts';
import { LaterSelectField } from '../frame/LaterSelectField.tsx';
import { ChoiceField } from '../ui/ChoiceField.tsx';
import { QuantityField } from '../ui/QuantityField.tsx';
import { quantityReader, valueOf } from '../ui/read-quantity.ts';
import { TextField } from '../ui/TextField.tsx';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import { useTypedInUnit } from '../ui/use-typed-in-unit.ts';
import { usualTimesS, withKind } from './step-kinds.ts';
import { describeTime, kindNames } from './step-words.ts';
import './step-editor.css';

const directions = [
  { key: 'forward', label: 'Forward' },
  { key: 'reverse', label: 'Reverse' },
] as const satisfies readonly { key: Direction; label: string }[];

const OWN_TIME = 'own';
const kindOptions = (Object.keys(kindNames) as Kind[]).map((key) => ({ key, label: kindNames[key] }));

function timeChoices(kind: Kind): { key: string; label: string }[] {
  return [
    ...usualTimesS[kind].map((timeS) => ({ key: String(timeS), label: describeTime(timeS) })),
    { key: OWN_TIME, label: 'Own' },
  ];
}
const readTime = quantityReader({ kind: 'duration', unit: 's', min: 0.5, max: 3600 });

export interface StepEditorProps {
  readonly step: Step;
  /** False where it was not taken. */
  readonly onChange: (step: Step) => Promise<boolean>;
  /** While a trial is under way its step stands fast. */
  readonly isDisabled: boolean;
}

/** Tool, kind, direction and time of the next run. Everything here is set before; nothing is typed during a run. */
export function StepEditor({ step, onChange, isDisabled }: StepEditorProps) {
  const change = useStepChange(step, onChange);
  const isUsualTime = usualTimesS[step.kind].includes(step.plannedS);
  const [isOwnTimeWanted, setIsOwnTimeWanted] = useState(false);
  const isOwnTime = isOwnTimeWanted || !isUsualTime;
  return (
    <div className="step-editor" role="group" aria-label="Next run" onKeyDown={leaveFieldOnEnter}>
      <ToolNameField step={step} change={change} isDisabled={isDisabled} />
      <div className="step-editor-kind">
        <LaterSelectField
          label="Kind"
          options={kindOptions}
          selected={step.kind}
          onSelect={(kind) => {
            setIsOwnTimeWanted(false);
            change((latest) => withKind(latest, kind));
          }}
          isDisabled={isDisabled}
        />
      </div>
      <ChoiceField
        label="Direction"
        choices={directions}
        selected={step.direction}
        onSelect={(direction) => change((latest) => ({ ...latest, direction }))}
        isDisabled={isDisabled}
      />
      <ChoiceField
        label="Time"
        choices={timeChoices(step.kind)}
        selected={isOwnTime ? OWN_TIME : String(step.plannedS)}
        onSelect={(key) => {
          setIsOwnTimeWanted(key === OWN_TIME);
          if (key !== OWN_TIME) change((latest) => ({ ...latest, plannedS: Number(key) }));
        }}
        isDisabled={isDisabled}
      />
      {isOwnTime ? (
        <div className="step-editor-short">
          <OwnTimeField step={step} change={change} isDisabled={isDisabled} />
        </div>
      ) : null}
      {step.kind === 'breakaway' ? (
        <div className="step-editor-short">
          <PreloadField step={step} change={change} isDisabled={isDisabled} />
        </div>
      ) : null}
    </div>
  );
}

type StepChange = (changed: (latest: Step) => Step) => void;

interface StepFieldProps {
  readonly step: Step;
  readonly change: StepChange;
  readonly isDisabled: boolean;
}

/**
 * Changes the step as it was last asked for rather than as it is shown: a click out of a field takes the typed text and the
 * clicked choice at once, before either has come back.
 */
function useStepChange(step: Step, onChange: StepEditorProps['onChange']): StepChange {
  const shown = useRef(step);
  const latest = useRef(step);
  const shownText = JSON.stringify(step);
  useEffect(() => {
    shown.current = JSON.parse(shownText) as Step;
    latest.current = shown.current;
  }, [shownText]);
  return (changed) => {
    const wanted = changed(latest.current);
    latest.current = wanted;
    void onChange(wanted).then((isTaken) => {
      if (!isTaken && latest.current === wanted) latest.current = shown.current;
    });
  };
}

/** Enter takes what was typed, as leaving the field does, and gives Space back to the primary control. */
function leaveFieldOnEnter({ key, target }: KeyboardEvent): void {
  if (key === 'Enter' && target instanceof HTMLInputElement) target.blur();
}

function ToolNameField({ step, change, isDisabled }: StepFieldProps) {
  const [draft, setDraft] = useState<string | null>(null);
  const typed = draft ?? step.toolName;
  const name = typed.trim();
  return (
    <TextField
      label="Tool"
      value={typed}
      onChange={setDraft}
      onBlur={() => {
        if (name === '') return;
        if (name !== step.toolName) change((latest) => ({ ...latest, toolName: name }));
        setDraft(null);
      }}
      problem={name === '' ? 'Name the tool.' : null}
      maxLength={80}
      isDisabled={isDisabled}
    />
  );
}

function OwnTimeField({ step, change, isDisabled }: StepFieldProps) {
  const [draft, setDraft] = useState<string | null>(null);
  return (
    <QuantityField
      label="Own time"
      typed={draft ?? `${step.plannedS} s`}
      onTyped={setDraft}
      parse={readTime}
      onBlur={() => {
        const plannedS = draft === null ? null : valueOf(readTime(draft));
        if (plannedS === null) return;
        if (plannedS !== step.plannedS) change((latest) => ({ ...latest, plannedS }));
        setDraft(null);
      }}
      isDisabled={isDisabled}
    />
  );
}

/** What the fastener is tightened to before; empty: not known. */
function PreloadField({ step, change, isDisabled }: StepFieldProps) {
  const { unit } = useTorqueDisplay();
  const [draft, writeDraft] = useTypedInUnit<string | null, TorqueUnit>(null, unit, (typed, typedUnit) =>
    typed === null ? null : withUnitNamed(typed, 'torque', typedUnit),
  );
  const preloadNm = step.preloadNm ?? null;
  const read = quantityReader({ kind: 'torque', unit, min: 0, max: 1e6, isMinExcluded: true });
  return (
    <QuantityField
      label="Preload"
      typed={draft ?? (preloadNm === null ? '' : formatTorque(preloadNm, unit, 0))}
      onTyped={(typed) => writeDraft(() => typed)}
      parse={read}
      onBlur={() => {
        if (draft === null) return;
        const typedNm = draft.trim() === '' ? null : valueOf(read(draft));
        if (typedNm === null && draft.trim() !== '') return;
        if (typedNm !== preloadNm) change((latest) => ({ ...latest, preloadNm: typedNm }));
        writeDraft(() => null);
      }}
      isDisabled={isDisabled}
    />
  );
}
