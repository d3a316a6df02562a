import type { RequestParams, TorqueUnit } from '../../../shared-lib/api-contract.ts';
import { withUnitNamed } from '../../../shared-lib/format-quantity.ts';
import { valueOf } from '../../ui/read-quantity.ts';
import type { QuantityReading } from '../../ui/QuantityField.tsx';

/** As the trial is read now. */
export const AS_READ = 'asRead';

export interface WhatIfForm {
  readonly calibrationKey: string;
  /** As typed; empty: as the trial has it. */
  readonly onsetLevel: string;
  readonly window: string;
}

export const nothingAssumed: WhatIfForm = { calibrationKey: AS_READ, onsetLevel: '', window: '' };

/** As it means the same whatever unit of torque is shown; `unit` is the one it was typed in. */
export function withWhatIfUnitNamed(form: WhatIfForm, unit: TorqueUnit): WhatIfForm {
  return { ...form, onsetLevel: withUnitNamed(form.onsetLevel, 'torque', unit) };
}

type Assumptions = Omit<RequestParams<'whatIfTrial'>, 'trialId'>;

/** What is assumed otherwise; null: a field cannot be read, or nothing is. */
export function readWhatIfForm(
  form: WhatIfForm,
  readTorque: (typed: string) => QuantityReading,
  readTime: (typed: string) => QuantityReading,
): Assumptions | null {
  const assumed = {
    calibrationId: form.calibrationKey === AS_READ ? null : form.calibrationKey,
    onsetLevelNm: readOptional(form.onsetLevel, readTorque),
    windowS: readOptional(form.window, readTime),
  };
  const { calibrationId, onsetLevelNm, windowS } = assumed;
  if (onsetLevelNm === 'unreadable' || windowS === 'unreadable') return null;
  if (calibrationId === null && onsetLevelNm === null && windowS === null) return null;
  return { calibrationId, onsetLevelNm, windowS };
}

function readOptional(typed: string, read: (typed: string) => QuantityReading): number | null | 'unreadable' {
  return typed.trim() === '' ? null : (valueOf(read(typed)) ?? 'unreadable');
}
