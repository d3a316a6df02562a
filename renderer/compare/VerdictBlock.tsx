import type { Comparison } from '../../shared-lib/comparison/comparison-model.ts';
import { DataList, DataRow } from '../ui/DataRow.tsx';
import { Notice } from '../ui/Notice.tsx';
import { Panel } from '../ui/Panel.tsx';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import {
  confidenceWords,
  differenceWords,
  ratioWords,
  type SideNames,
  sideWords,
  verdictWords,
} from './compare-sentences.ts';
import { detailRows } from './detail-rows.ts';
import { MarginButton } from './margin/MarginDialog.tsx';
import { measureDisplay, measureName, measureQuestion } from './measure-choices.ts';
import { IntervalPicture } from './picture/IntervalPicture.tsx';
import { VerdictShape } from './VerdictShape.tsx';
import './verdict.css';

interface VerdictBlockProps {
  readonly comparison: Comparison;
  readonly names: SideNames;
}

/** The answer: word, shape and sentence, with the interval that it rests on. */
export function VerdictBlock({ comparison, names }: VerdictBlockProps) {
  const { verdict, marginPercent, sentence, isProvisional, cautions, measure, isLikeForLike } = comparison;
  const torque = useTorqueDisplay();
  const { word, shape } = verdictWords(verdict, marginPercent);
  const isMarked = isProvisional || !isLikeForLike;
  return (
    <Panel
      title={measureQuestion(measure, torque)}
      actions={
        <MarginButton
          figure={measure.figure}
          figureName={measureName(measure, torque)}
          usedPercent={marginPercent}
        />
      }
    >
      <div className="verdict">
        <div className="verdict-answer">
          <p className="verdict-word">
            <VerdictShape shape={shape} />
            <strong>{word}</strong>
            {isProvisional ? <span className="verdict-mark">provisional</span> : null}
            {isLikeForLike ? null : <span className="verdict-mark">not like for like</span>}
          </p>
          <p className="verdict-sentence" role="status">
            {sentence}
          </p>
          {isMarked ? (
            <p className="compare-soft">
              {isProvisional ? 'Provisional: fewer rounds are done than the plan fixed beforehand. ' : ''}
              {isLikeForLike
                ? ''
                : 'Not like for like: the benches of the two differ, and a difference may be theirs.'}
            </p>
          ) : null}
          <Figures comparison={comparison} names={names} />
        </div>
        <IntervalPicture comparison={comparison} names={names} />
      </div>
      {cautions.map((caution) => (
        <Notice key={caution} kind="caution">
          {caution}
        </Notice>
      ))}
      <details>
        <summary>What the verdict rests on</summary>
        <DataList label="What the verdict rests on">
          {detailRows(comparison, names).map(({ name, value, note }) => (
            <DataRow key={name} name={name} kind="figure" note={note ?? undefined}>
              {value}
            </DataRow>
          ))}
        </DataList>
      </details>
    </Panel>
  );
}

/** The two means, the ratio and the difference. */
function Figures({ comparison, names }: VerdictBlockProps) {
  const { a, b, ratio, difference, measure, confidence } = comparison;
  const torque = useTorqueDisplay();
  const display = measureDisplay(measure, torque);
  const mean = (value: number | null) => (value === null ? 'no value yet' : display.format(value));
  return (
    <DataList label="Figures of the verdict">
      <DataRow name={`A ${names.a}`} kind="figure" note={sideWords(a)}>
        {mean(a.mean)}
      </DataRow>
      <DataRow name={`B ${names.b}`} kind="figure" note={sideWords(b)}>
        {mean(b.mean)}
      </DataRow>
      {ratio === null ? null : (
        <DataRow name={`A over B, ${confidenceWords(confidence)} interval`} kind="figure">
          {ratioWords(ratio)}
        </DataRow>
      )}
      {difference === null ? null : (
        <DataRow name="A minus B" kind="figure">
          {differenceWords(difference, display)}
        </DataRow>
      )}
    </DataList>
  );
}
