import { useState } from 'react';
import type { Contender, Reach } from '../../../shared-lib/comparison/comparison-model.ts';
import { fromOwnUnit } from '../../../shared-lib/format-quantity.ts';
import { curveColorIndex } from '../../live-curve/curve-style.ts';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { LinePicture, type PictureLine } from '../../ui/picture/LinePicture.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { endLabel } from '../curves/curve-sentences.ts';
import { type SideNames, withShortNames } from '../../../shared-lib/comparison/words/compare-sentences.ts';
import { meanTimeLine, ratioStretches, reachSummary } from './reach-lines.ts';

interface ReachViewProps {
  readonly reach: Reach;
  readonly a: Contender;
  readonly b: Contender;
  readonly names: SideNames;
}

const views = [
  { key: 'times', label: 'Mean times of both' },
  { key: 'ratio', label: 'A over B with its interval' },
] as const;
type View = (typeof views)[number]['key'];

const SIZE = { width: 1120, height: 340 };

export function ReachView({ reach, a, b, names }: ReachViewProps) {
  const torque = useTorqueDisplay();
  const [view, setView] = useState<View>('times');
  const toShown = (torqueNm: number) => fromOwnUnit(torqueNm, torque.unit);
  const summary = reachSummary(reach, names, torque.format);
  const stretches = ratioStretches(reach, toShown);
  const timeLine = (side: 'a' | 'b', toolName: string): PictureLine => ({
    label: endLabel(side, names),
    look: side === 'a' ? 'solid' : 'dashed',
    color: curveNumber(toolName),
    points: meanTimeLine(reach, side, toShown),
  });
  const ratioLines: PictureLine[] = [
    ...stretches.map((points, index): PictureLine => ({
      label: index === stretches.length - 1 ? 'A over B' : '',
      look: 'solid',
      color: null,
      points,
    })),
    { label: 'equal', look: 'dotted', color: null, points: stretches.flat().map(({ x }) => ({ x, y: 0 })) },
  ];
  return (
    <>
      <ul className="compare-sentences" aria-label="Who is first">
        {reach.sentences.map((sentence) => (
          <li key={sentence}>{withShortNames(sentence, { a, b }, names)}</li>
        ))}
      </ul>
      {reach.levels.length === 0 ? null : (
        <>
          <ChoiceField<View> label="The picture shows" choices={views} selected={view} onSelect={setView} />
          <figure className="runs-figure">
            {view === 'times' ? (
              <LinePicture
                summary={summary}
                size={SIZE}
                xTitle={`torque, ${torque.unitLabel}`}
                yTitle="mean time to it, s"
                lines={[timeLine('a', a.toolName), timeLine('b', b.toolName)]}
              />
            ) : (
              <LinePicture
                summary={summary}
                size={SIZE}
                xTitle={`torque, ${torque.unitLabel}`}
                yTitle="time of A over B, %"
                bands={stretches.map((points) => ({ points }))}
                lines={ratioLines}
              />
            )}
          </figure>
        </>
      )}
      <p className="compare-soft">
        {summary} Fewer than all runs reach a high torque; the means are of those that did.
      </p>
    </>
  );
}

const curveNumbers = [1, 2, 3, 4, 5] as const;

function curveNumber(toolName: string): PictureLine['color'] {
  return curveNumbers[curveColorIndex(toolName)] ?? null;
}
