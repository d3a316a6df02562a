import { topUncertaintyPercent } from '../calibration/uncertainty-at.ts';
import type { RequestResult } from '../api-contract.ts';
import { STATIC_CALIBRATION } from '../comparison/comparison-words.ts';
import { formatNumber, formatRate, THIN_SPACE } from '../format-quantity.ts';
import type { TrialRecord } from '../trial/trial-model.ts';

/** What a picture of trials rests on, as far as it is told below the picture. */
export interface Basis {
  readonly records: readonly Pick<TrialRecord, 'summary' | 'conditions' | 'sampleRateHz'>[];
  /** That the trials are read by. */
  readonly calibrations: readonly CalibrationInShort[];
  /** The calendar day of an instant where the program runs. */
  readonly dayOf: (instant: string) => string;
}

export interface CalibrationInShort {
  readonly label: string;
  readonly madeAt: string;
  /** Expanded (95 %), of the torque; null: none is stated. */
  readonly uncertaintyPercent: number | null;
}

export function calibrationInShort({
  version,
  result,
}: Pick<RequestResult<'getCalibrationReport'>, 'version' | 'result'>): CalibrationInShort {
  return {
    label: version.label,
    madeAt: version.createdAt,
    uncertaintyPercent: topUncertaintyPercent(result) ?? version.enteredUncertaintyPercent,
  };
}

export const SIMULATED_NOTE = 'Simulated: a demo with a computed bench; no real tool is behind it.';
/** Names beyond these would fill the picture. */
const MOST_NAMED = 3;

/**
 * Calibration, days and rate as one line, since a picture without them says nothing; then how it is to be read (`reading`), whether it is
 * simulated, which the picture also has as a mark, and what must not be overlooked (`cautions`). Each once.
 */
export function basisNotes(
  basis: Basis,
  {
    reading = [],
    cautions = [],
  }: { readonly reading?: readonly string[]; readonly cautions?: readonly string[] },
): string[] {
  const { records } = basis;
  const suspect = records.filter(
    ({ summary: { suspicion } }) => suspicion !== null && suspicion.decision !== 'usable',
  ).length;
  return unique([
    `${[calibrationWords(basis), `pulled ${daysWords(basis)}`, ratesWords(records)].filter((words) => words !== '').join('; ')}.`,
    ...reading,
    ...(records.some(({ summary }) => summary.isSimulated) ? [SIMULATED_NOTE] : []),
    ...(suspect === 0
      ? []
      : [
          `${suspect} of ${records.length} marked suspect: a daily check failed after ${suspect === 1 ? 'it' : 'them'}.`,
        ]),
    // The longer form of it says the same.
    ...(cautions.some((caution) => caution.startsWith(STATIC_CALIBRATION)) ? [] : [STATIC_CALIBRATION]),
    ...cautions,
  ]);
}

/** Where trials lie side by side. */
export function likeForLikeNote({ records }: Pick<Basis, 'records'>): string[] {
  const rates = new Set(records.map(({ conditions }) => conditions.profile.nominalRateHz));
  return rates.size > 1 ? ['Pulled at different rates, so not like for like.'] : [];
}

/** "±0.9 % (95 %)" */
export function uncertaintyWords(percent: number | null): string {
  if (percent === null) return 'no uncertainty stated';
  const decimals = percent < 1 ? 2 : 1;
  return `±${formatNumber(percent, decimals)}${THIN_SPACE}% (95${THIN_SPACE}%)`;
}

export function runsWords(count: number): string {
  return count === 1 ? '1 run' : `${count} runs`;
}

function calibrationWords({ calibrations, dayOf }: Basis): string {
  const named = calibrations
    .slice(0, MOST_NAMED)
    .map(
      ({ label, madeAt, uncertaintyPercent }) =>
        `“${label}” of ${dayOf(madeAt)}, ${uncertaintyWords(uncertaintyPercent)}`,
    );
  const more = calibrations.length - named.length;
  if (named.length === 0) return 'No calibration';
  return `${calibrations.length === 1 ? 'Calibration' : 'Calibrations'} ${named.join(' and ')}${more === 0 ? '' : ` and ${more} more`}`;
}

function daysWords({ records, dayOf }: Basis): string {
  const days = unique(records.map(({ summary }) => dayOf(summary.startedAt)).toSorted());
  const [first, last] = [days[0], days.at(-1)];
  if (first === undefined || last === undefined) return 'never';
  return first === last ? first : `${first} to ${last}, ${days.length} days`;
}

function ratesWords(records: Basis['records']): string {
  const rates = unique(records.map(({ conditions }) => formatRate(conditions.profile.nominalRateHz)));
  return rates.slice(0, MOST_NAMED).join(', ');
}

function unique(texts: readonly string[]): string[] {
  return [...new Set(texts)];
}
