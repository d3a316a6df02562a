import type { ReactNode } from 'react';
import type { Comparison } from '../../shared-lib/comparison/comparison-model.ts';
import { DataList, DataRow } from '../ui/DataRow.tsx';
import { Panel } from '../ui/Panel.tsx';
import { StateShape } from '../ui/StateShape.tsx';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import {
  confidenceWords,
  differenceWords,
  ratioWords,
  type SideNames,
  sideWords,
  splitAnswer,
  verdictWords,
  withShortNames,
} from '../../shared-lib/comparison/words/compare-sentences.ts';
import { detailRows } from '../../shared-lib/comparison/words/detail-rows.ts';
import { MarginButton } from './margin/MarginDialog.tsx';
import {
  figureName,
  measureDisplay,
  measureQuestion,
} from '../../shared-lib/comparison/words/measure-choices.ts';
import { IntervalPicture } from './picture/IntervalPicture.tsx';
import { VerdictShape } from './VerdictShape.tsx';
import './verdict.css';

interface VerdictBlockProps {
  readonly comparison: Comparison;
  readonly names: SideNames;
  /** Beside what changes the answer: where it is published. */
  readonly share: ReactNode;
}

/** The answer: word, shape and sentence, with the interval that it rests on. */
export function VerdictBlock({ comparison, names, share }: VerdictBlockProps) {
  const { verdict, marginPercent, sentence, isProvisional, cautions, measure, isLikeForLike } = comparison;
  const torque = useTorqueDisplay();
  const { word, shape } = verdictWords(verdict, marginPercent);
  const contenders = { a: comparison.a.contender, b: comparison.b.contender };
  const short = (text: string) => withShortNames(text, contenders, names);
  const { answer, rest } = splitAnswer(short(sentence));
  return (
    <Panel
      title={measureQuestion(measure, torque)}
      actions={
        <>
          <MarginButton
            figure={measure.figure}
            figureName={figureName(measure, torque)}
            usedPercent={marginPercent}
          />
          {share}
        </>
      }
    >
      <div className="verdict-answer">
        <p className="verdict-word">
          <VerdictShape shape={shape} />
          <strong>{word}</strong>
          {isProvisional ? <span className="verdict-mark">provisional</span> : null}
          {contenders.a.isSimulated || contenders.b.isSimulated ? (
            <span className="verdict-mark">simulated</span>
          ) : null}
          {isLikeForLike ? null : <span className="verdict-mark">not like for like</span>}
        </p>
        <div role="status">
          <p className="verdict-sentence">{answer}</p>
          {rest === '' ? null : <p className="verdict-rest">{rest}</p>}
        </div>
      </div>
      <div className="verdict">
        <Figures comparison={comparison} />
        <IntervalPicture comparison={comparison} names={names} />
      </div>
      {cautions.length === 0 ? null : (
        <ul className="compare-reasons" aria-label="Cautions">
          {cautions.map((caution) => (
            <li key={caution}>
              <StateShape shape="caution" />
              <span>
                <span className="visually-hidden">Caution: </span>
                {short(caution)}
              </span>
            </li>
          ))}
        </ul>
      )}
      <details className="verdict-details">
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
function Figures({ comparison }: Pick<VerdictBlockProps, 'comparison'>) {
  const { a, b, ratio, difference, measure, confidence } = comparison;
  const torque = useTorqueDisplay();
  const display = measureDisplay(measure, torque);
  const mean = (value: number | null) => (value === null ? 'no value yet' : display.format(value));
  return (
    <DataList label="Figures of the verdict">
      <DataRow name={`A ${a.contender.label}`} kind="figure" note={sideWords(a)}>
        {mean(a.mean)}
      </DataRow>
      <DataRow name={`B ${b.contender.label}`} kind="figure" note={sideWords(b)}>
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
