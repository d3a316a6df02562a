import type { RequestParams } from '../../../../shared-lib/api-contract.ts';
import type { CurvesPreview } from '../../../../shared-lib/exchange/exchange-requests.ts';
import { FormReader, type FormReading } from '../../../ui/form-reader.ts';
import { quantityReader } from '../../../ui/read-quantity.ts';

/** As typed; nothing of it is lost when something is refused. */
export interface CurveForm {
  /** By the label of the column. */
  readonly toolNames: Readonly<Record<string, string>>;
  readonly kind: 'tighten' | 'stall';
  readonly direction: 'forward' | 'reverse';
  readonly planned: string;
  /** Such as 2026-03-31. */
  readonly day: string;
  readonly benchName: string;
  readonly uncertainty: string;
  readonly note: string;
}

export const emptyCurveForm: CurveForm = {
  toolNames: {},
  kind: 'tighten',
  direction: 'forward',
  planned: '',
  day: '',
  benchName: '',
  uncertainty: '',
  note: '',
};

export const readPlannedTime = quantityReader({ kind: 'duration', unit: 's', min: 0.5, max: 3600 });
export const readUncertainty = quantityReader({ kind: 'percent', unit: 'percent', min: 0, max: 100 });

/** Noon, since only the day is known. */
const NOON = 'T12:00:00.000Z';

export function readCurveForm(
  form: CurveForm,
  preview: CurvesPreview,
): FormReading<Omit<RequestParams<'importCurves'>, 'source'>> {
  const reader = new FormReader();
  const toolNames = preview.curves.map(({ label }) =>
    reader.text(`the tool of “${label}”`, form.toolNames[label] ?? ''),
  );
  const day = reader.text('the day of the measurement', form.day);
  const benchName = reader.text('the bench', form.benchName);
  const value = {
    mapping: preview.mapping,
    toolNames,
    kind: form.kind,
    direction: form.direction,
    plannedS: reader.optional('the time of the pull', form.planned, readPlannedTime),
    measuredAt: `${day}${NOON}`,
    benchName,
    uncertaintyPercent: reader.optional('the uncertainty', form.uncertainty, readUncertainty),
    note: form.note.trim(),
  };
  return reader.missing.length === 0 ? { value } : { missing: reader.missing };
}
