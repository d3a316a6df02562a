import { useState } from 'react';
import type { DailyCheck } from '../../../shared-lib/calibration/daily-check-model.ts';
import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import { Button } from '../../ui/Button.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { StateShape } from '../../ui/StateShape.tsx';
import { operatorWords } from '../../../shared-lib/calibration/words/calibration-sentences.ts';
import '../figure-table.css';
import {
  checkedWithWords,
  hasCautions,
  verdictInTable,
} from '../../../shared-lib/calibration/words/check-words.ts';

const AT_FIRST = 10;

/** Every check under the calibration in use, newest first. */
export function CheckHistory({ checks }: { readonly checks: readonly DailyCheck[] }) {
  const [isWhole, setIsWhole] = useState(false);
  if (checks.length === 0) return null;
  const hidden = isWhole ? 0 : Math.max(checks.length - AT_FIRST, 0);
  return (
    <Panel title="Checks under this calibration">
      <CheckTable checks={checks.slice(0, checks.length - hidden)} />
      {hidden === 0 ? null : (
        <ActionRow>
          <Button onPress={() => setIsWhole(true)}>Show {hidden} older</Button>
        </ActionRow>
      )}
    </Panel>
  );
}

export function CheckTable({ checks }: { readonly checks: readonly DailyCheck[] }) {
  return (
    <div className="figure-table-frame">
      <table className="figure-table">
        <caption className="visually-hidden">Daily checks, newest first</caption>
        <thead>
          <tr>
            <th scope="col">When</th>
            <th scope="col">Verdict</th>
            <th scope="col" className="figure-table-number">
              Error, %
            </th>
            <th scope="col" className="figure-table-number">
              May be, %
            </th>
            <th scope="col">With</th>
            <th scope="col">By</th>
          </tr>
        </thead>
        <tbody>
          {checks.map((check) => (
            <tr key={check.id}>
              <th scope="row" className="check-when">
                {formatDateTime(check.at)}
              </th>
              <td>
                <span className="calibrate-state">
                  {check.verdict === 'failed' ? (
                    <StateShape shape="fault" />
                  ) : hasCautions(check) ? (
                    <StateShape shape="caution" />
                  ) : null}
                  {verdictInTable(check)}
                </span>
              </td>
              <td className="figure-table-number">{percentOf(check.errorNm, check)}</td>
              <td className="figure-table-number">
                {check.limitNm === null ? '–' : `±${THIN_SPACE}${percentOf(check.limitNm, check)}`}
              </td>
              <td>{checkedWithWords(check)}</td>
              <td>{operatorWords(check.operator)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function percentOf(valueNm: number, { referenceNm }: DailyCheck): string {
  return referenceNm === 0 ? '–' : formatNumber((100 * valueNm) / Math.abs(referenceNm), 2);
}
