import { useMemo, useState } from 'react';
import type { Comparison } from '../../../shared-lib/comparison/comparison-model.ts';
import { fromOwnUnit } from '../../../shared-lib/format-quantity.ts';
import { curveColorIndex } from '../../live-curve/curve-style.ts';
import { Button } from '../../ui/Button.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { AskAgain } from '../AskAgain.tsx';
import { endLabel } from './curve-sentences.ts';
import {
  leadSentence,
  ratioPercent,
  type SideNames,
} from '../../../shared-lib/comparison/words/compare-sentences.ts';
import { type AlignedRun, newestOfEach, runsOfPair } from './aligned-curves.ts';
import { CheckpointPicture } from './CheckpointPicture.tsx';
import { CheckpointTable } from './CheckpointTable.tsx';
import { CURVES_FOR_THE_EYE, curvesSummary, progressWords } from './curve-sentences.ts';
import { CurvesPicture, endOfMean, longest, type SideLook } from './CurvesPicture.tsx';
import './curves.css';
import { RunByRun } from './RunByRun.tsx';
import { useTrialCurves } from './use-trial-curves.ts';

/** More take seconds to read, and are not seen apart; the others can be asked for. */
const MOST_AT_ONCE = 24;
/** Before onset, as a share of the run. */
const LEAD_IN = 0.04;
const SIZE = { width: 1120, height: 420 };
const LEFT = 84;

interface CurvesPanelProps {
  readonly comparison: Comparison;
  readonly names: SideNames;
}

/** Every run of both from its onset on, and at which instants they are told apart. */
export function CurvesPanel({ comparison, names }: CurvesPanelProps) {
  const { step, trials, a, b, checkpoints, leadStartsAtS } = comparison;
  const torque = useTorqueDisplay();
  const [areAllWanted, setAreAllWanted] = useState(false);
  const all = useMemo(
    () => runsOfPair(trials, a.contender.key, b.contender.key),
    [trials, a.contender.key, b.contender.key],
  );
  const shown = areAllWanted ? all : newestOfEach(all, MOST_AT_ONCE);
  const { curves, error, askAgain } = useTrialCurves(shown.map(({ trialId }) => trialId));
  const sign = step.direction === 'forward' ? 1 : -1;
  const runs = shown.flatMap(({ trialId, side }): AlignedRun[] => {
    const points = curves.get(trialId);
    return points === undefined
      ? []
      : [{ trialId, side, points: points.map(({ x, y }) => ({ x, y: sign * y })) }];
  });
  const looks: SideLook[] = [
    { side: 'a', label: endLabel('a', names), color: curveColorIndex(a.contender.toolName) + 1 },
    { side: 'b', label: endLabel('b', names), color: curveColorIndex(b.contender.toolName) + 1 },
  ];
  const [fromS, toS] = [-LEAD_IN * step.plannedS, step.plannedS];
  const endWords = (side: 'a' | 'b') => {
    const torqueNm = endOfMean(runs, side, fromS, toS);
    return Number.isFinite(torqueNm) ? torque.format(torqueNm) : null;
  };
  const countOf = (side: 'a' | 'b') => runs.filter((run) => run.side === side).length;
  const summary = curvesSummary(
    names,
    { a: countOf('a'), b: countOf('b') },
    { a: endWords('a'), b: endWords('b') },
    toS,
  );
  const lead = leadSentence(comparison, names);
  const progress = progressWords({ shown: shown.length, all: all.length, loaded: runs.length });
  return (
    <Panel title="Curves" lead={lead}>
      <AskAgain error={error} onAsk={askAgain} label="Ask for the curves again" />
      {progress === '' ? null : (
        <ActionRow>
          <p role="status">{progress}</p>
          {!areAllWanted && shown.length < all.length ? (
            <Button onPress={() => setAreAllWanted(true)}>Draw all {all.length}</Button>
          ) : null}
        </ActionRow>
      )}
      <figure className="curves-figure">
        <CurvesPicture
          runs={runs}
          looks={looks}
          fromS={fromS}
          toS={toS}
          shownPerNm={fromOwnUnit(1, torque.unit)}
          yTitle={`${step.direction} torque, ${torque.unitLabel}`}
          summary={summary}
          size={SIZE}
          left={LEFT}
          checkpoints={checkpoints}
          lead={
            leadStartsAtS === null
              ? null
              : { fromS: leadStartsAtS, label: lead.replace(/ after onset on\.$/, ' on') }
          }
        />
        <figcaption>
          {summary} {CURVES_FOR_THE_EYE}
        </figcaption>
        {checkpoints.some(({ ratio }) => ratio !== null) ? (
          <CheckpointPicture
            checkpoints={checkpoints}
            fromS={fromS}
            toS={toS}
            width={SIZE.width}
            left={LEFT}
            longestLabel={longest(looks.map(({ label }) => label))}
            yTitle="A over B, %"
            summary={`${names.a} over ${names.b} at each instant: ${checkpoints
              .flatMap(({ atS, ratio }) =>
                ratio === null ? [] : [`at ${atS} s ${ratioPercent(ratio.ratio)}`],
              )
              .join(', ')}. ${lead}`}
          />
        ) : null}
      </figure>
      {checkpoints.length === 0 ? null : <CheckpointTable checkpoints={checkpoints} names={names} />}
      <RunByRun runs={runs} looks={looks} fromS={fromS} toS={toS} />
    </Panel>
  );
}
