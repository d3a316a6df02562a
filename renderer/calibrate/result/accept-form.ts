import type { RequestParams } from '../../../shared-lib/api-contract.ts';
import type { RunWay } from '../../../shared-lib/calibration/run-model.ts';
import { wholeNumberReader } from '../../ui/read-whole-number.ts';
import { FormReader, type FormReading } from '../../ui/form-reader.ts';
import { monthsLater } from '../local-day.ts';

/** Validity that is offered (ours): what comes first ends it. */
const VALID_MONTHS = 3;
const VALID_TRIALS = '500';
/** Shorter than this says nothing (the contract's limit). */
const LEAST_REASON_LENGTH = 3;

export const OWN_REASON = 'own';
export const usualSupersedeReasons = [
  'Regular new calibration',
  'After a repair or a change of the rig',
  'The one in use was found wrong',
] as const;

export interface AcceptForm {
  readonly label: string;
  /** Such as 2026-03-31; empty: no last day. */
  readonly validUntil: string;
  /** Empty: for any number of trials. */
  readonly trials: string;
  readonly note: string;
  /** One of the usual reasons or OWN_REASON; null: not chosen. */
  readonly reason: string | null;
  readonly ownReason: string;
}

const wayNames: Readonly<Record<RunWay, string>> = {
  weightsOnArm: 'Weights on arm',
  loadCell: 'Load cell with reaction arm',
  oneWeight: 'One weight, two arm lengths',
};

export function usualAcceptForm(way: RunWay, today: string, formatDay: (day: string) => string): AcceptForm {
  return {
    label: `${wayNames[way]}, ${formatDay(today)}`,
    validUntil: monthsLater(today, VALID_MONTHS),
    trials: VALID_TRIALS,
    note: '',
    reason: null,
    ownReason: '',
  };
}

export const readTrials = wholeNumberReader(1, 100_000, 'trials');

type Acceptance = Omit<RequestParams<'acceptRun'>, 'runId' | 'overrides' | 'supersedesId'>;

/** What the services are asked to accept; a reason only where a version in use is replaced. */
export function readAcceptForm(form: AcceptForm, isReplacing: boolean): FormReading<Acceptance> {
  const reader = new FormReader();
  const label = reader.text('the label', form.label);
  const validForTrials = reader.optional('the number of trials', form.trials, readTrials);
  const reason = form.reason === OWN_REASON ? form.ownReason.trim() : (form.reason ?? '');
  if (isReplacing && reason.length < LEAST_REASON_LENGTH) {
    reader.missing.push('why it replaces the one in use');
  }
  if (reader.missing.length > 0) return { missing: reader.missing };
  return {
    value: {
      label,
      note: form.note.trim(),
      validUntil: form.validUntil === '' ? null : form.validUntil,
      validForTrials,
      supersedeReason: isReplacing ? reason : null,
    },
  };
}
