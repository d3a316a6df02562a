import { type ReactNode, useRef, useState } from 'react';
import { useLocation } from 'wouter';
import type { FitOverride } from '../../../shared-lib/calibration/result-model.ts';
import type { CalibrationRun } from '../../../shared-lib/calibration/run-model.ts';
import { useConnection, useSettings } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { DayField } from '../../ui/DayField.tsx';
import { formatDay } from '../../ui/date-time.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { ActionRow, FieldGrid, Panel } from '../../ui/Panel.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { useFocusWhenGone } from '../../ui/use-focus-when-gone.ts';
import { savedAddress } from '../calibrate-addresses.ts';
import { localDay } from '../local-day.ts';
import {
  type AcceptForm,
  OWN_REASON,
  readAcceptForm,
  readTrials,
  usualAcceptForm,
  usualSupersedeReasons,
} from './accept-form.ts';

export interface AcceptRunProps {
  readonly run: CalibrationRun;
  readonly overrides: readonly FitOverride[];
  /** False while something must be put right first, or the result is not there yet. */
  readonly canAccept: boolean;
  /** What else can be done with the run, beside accepting it. */
  readonly otherActions: ReactNode;
}

/** Everything at its usual value: accepting takes a press, and a reason where a version in use is replaced. */
export function AcceptRun({ run, overrides, canAccept, otherActions }: AcceptRunProps) {
  const connection = useConnection();
  const operator = useSettings()?.operator ?? '';
  const {
    result,
    error: lookUpError,
    reload,
  } = useRequest('listCalibrations', { transducerId: run.transducerId }, 'calibrationsChanged');
  const [, navigate] = useLocation();
  const [form, setForm] = useState<AcceptForm>(() =>
    usualAcceptForm(run.setup.way, localDay(new Date()), formatDay),
  );
  const { run: act, isBusy, error } = useAction();
  const headingRef = useRef<HTMLHeadingElement>(null);
  // What asks again goes away once there is an answer.
  const watch = useFocusWhenGone(() => headingRef.current);
  const change = (part: Partial<AcceptForm>) => setForm((before) => ({ ...before, ...part }));
  const inUse = result?.calibrations.find(({ supersededAt }) => supersededAt === null) ?? null;
  const reading = readAcceptForm(form, inUse !== null);
  const acceptance = 'value' in reading ? reading.value : null;

  const accept = () =>
    act(async () => {
      if (acceptance === null) return;
      const version = await connection.request('acceptRun', {
        runId: run.id,
        overrides: [...overrides],
        supersedesId: inUse?.id ?? null,
        ...acceptance,
      });
      navigate(savedAddress(version.id));
    });

  return (
    <div {...watch}>
      <Panel
        title="Accept it"
        headingRef={headingRef}
        lead="It is put to use at once. It is never changed afterwards, only superseded."
      >
        {inUse === null ? null : (
          <ChoiceField
            label={`Why it replaces “${inUse.label}”`}
            choices={[
              ...usualSupersedeReasons.map((reason) => ({ key: reason, label: reason })),
              { key: OWN_REASON, label: 'In own words' },
            ]}
            selected={form.reason}
            onSelect={(reason) => change({ reason })}
            help="The old version stays with its trials."
          />
        )}
        <FieldGrid>
          {inUse !== null && form.reason === OWN_REASON ? (
            <TextField
              label="The reason"
              value={form.ownReason}
              onChange={(ownReason) => change({ ownReason })}
              help="At least three characters"
              maxLength={500}
              isRequired
              autoFocus
            />
          ) : null}
          <TextField
            label="Label"
            value={form.label}
            onChange={(label) => change({ label })}
            maxLength={120}
            isRequired
          />
          <DayField
            label="Holds until"
            day={form.validUntil}
            onDay={(validUntil) => change({ validUntil })}
            help="Three months as a rule; empty: no last day"
          />
          <QuantityField
            label="Or for so many trials"
            typed={form.trials}
            onTyped={(trials) => change({ trials })}
            parse={readTrials}
            help="What comes first ends it; empty: no such limit"
          />
          <TextField label="Note" value={form.note} onChange={(note) => change({ note })} maxLength={500} />
        </FieldGrid>
        <ActionRow>
          <Button
            look="primary"
            isDisabled={!canAccept || result === null || acceptance === null}
            isPending={isBusy}
            onPress={() => void accept()}
          >
            Accept this calibration and use it
          </Button>
          {otherActions}
          <span className="calibrate-aside">
            {operator === '' ? 'No operator is named in Setup.' : `By ${operator}.`}
            {'missing' in reading ? ` Still needed: ${reading.missing.join(', ')}.` : ''}
          </span>
        </ActionRow>
        <FailureNotice error={lookUpError} onAskAgain={reload} />
        <FailureNotice error={error} />
      </Panel>
    </div>
  );
}
