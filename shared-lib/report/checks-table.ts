import type { DailyCheck } from '../calibration/daily-check-model.ts';
import { operatorWords } from '../calibration/words/calibration-sentences.ts';
import { checkedWithWords, verdictInTable } from '../calibration/words/check-words.ts';
import { formatNumber, THIN_SPACE } from '../format-quantity.ts';
import { table } from './report-blocks.ts';
import type { ReportBlock } from './report-model.ts';

/** Every daily check under a calibration, newest first. */
export function checksTable(
  checks: readonly DailyCheck[],
  formatInstant: (instant: string) => string,
): ReportBlock | null {
  return table(
    'Daily checks, newest first; error and what it may be in % of the reference',
    ['When', 'Verdict', '>Error, %', '>May be, %', 'With', 'By'],
    checks.map((check) => [
      formatInstant(check.at),
      verdictInTable(check),
      percentOf(check.errorNm, check),
      check.limitNm === null ? '–' : `±${THIN_SPACE}${percentOf(check.limitNm, check)}`,
      checkedWithWords(check),
      operatorWords(check.operator),
    ]),
  );
}

function percentOf(valueNm: number, { referenceNm }: DailyCheck): string {
  return referenceNm === 0 ? '–' : formatNumber((100 * valueNm) / Math.abs(referenceNm), 2);
}
