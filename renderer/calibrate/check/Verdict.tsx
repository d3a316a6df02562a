import { useEffect, useRef } from 'react';
import type { CheckLoad, DailyCheck } from '../../../shared-lib/calibration/daily-check-model.ts';
import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { StateShape } from '../../ui/StateShape.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { afterwardsWords } from './check-steps.ts';
import { hasCautions, reasonMark, verdictWords } from '../../../shared-lib/calibration/words/check-words.ts';
import { useCheckTorque } from './use-check-torque.ts';

const shapes = { passed: 'good', failed: 'fault', reference: 'information' } as const;

/** What the check came to, with the rule and the figures that it rests on. */
export function Verdict({ check, way }: { readonly check: DailyCheck; readonly way: CheckLoad['way'] }) {
  const headRef = useRef<HTMLHeadingElement>(null);
  useEffect(() => headRef.current?.focus(), []);
  const torque = useTorqueDisplay();
  const format = useCheckTorque(check);
  const { verdict, referenceNm, readingNm, errorNm, limitNm, reasons } = check;
  return (
    <div className={`check-verdict check-verdict-${verdict}`}>
      <h3 ref={headRef} tabIndex={-1} className="check-verdict-word">
        <StateShape shape={verdict === 'passed' && hasCautions(check) ? 'caution' : shapes[verdict]} />{' '}
        {verdictWords[verdict]}
      </h3>
      <p>{afterwardsWords(check, way)}</p>
      <DataList label={`Figures of the check, ${torque.unitLabel}`}>
        <DataRow name="Should read" kind="figure">
          {format(referenceNm)}
        </DataRow>
        <DataRow name="Reads" kind="figure">
          {format(readingNm)}
        </DataRow>
        <DataRow name="Error" kind="figure">
          {format(errorNm)}
          {referenceNm === 0
            ? ''
            : `, ${formatNumber((100 * errorNm) / Math.abs(referenceNm), 2)}${THIN_SPACE}%`}
        </DataRow>
        {limitNm === null ? null : (
          <DataRow name="May be, either way" kind="figure">
            {format(limitNm)}
          </DataRow>
        )}
      </DataList>
      <CheckReasons reasons={reasons} />
    </div>
  );
}

/** The rules that were applied, and what is to be looked at beside them. */
export function CheckReasons({ reasons }: Pick<DailyCheck, 'reasons'>) {
  if (reasons.length === 0) return null;
  return (
    <ul className="check-reasons" aria-label="Rules that were applied, and what is to be looked at">
      {reasons.map((reason, place) => {
        const { word, shape } = reasonMark(reason);
        return (
          // Two weights may have the same finding.
          <li key={`${reason.rule} ${place}`}>
            <StateShape shape={shape} />
            <span>
              <strong>{word}</strong> {reason.sentence}
            </span>
          </li>
        );
      })}
    </ul>
  );
}
