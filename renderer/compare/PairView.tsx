import type { Comparison } from '../../shared-lib/comparison/comparison-model.ts';
import { useRequest } from '../api-client/use-request.ts';
import { AskAgain } from './AskAgain.tsx';
import type { CompleteChoice } from './choose-pair.ts';
import { measureKey } from '../../shared-lib/comparison/measure-key.ts';
import { stepKey } from './compare-address.ts';
import { comparedPair, comparedRequest } from './compared-request.ts';
import { sideNames } from '../../shared-lib/comparison/words/compare-sentences.ts';
import { CurvesPanel } from './curves/CurvesPanel.tsx';
import { FieldPanel } from './field/FieldPanel.tsx';
import { ShareLink } from '../share/ShareLink.tsx';
import { NotComparablePanel } from './NotComparable.tsx';
import { ReachPanel } from './reach/ReachPanel.tsx';
import { RunsPanel } from './runs/RunsPanel.tsx';
import { useReloadOn } from './use-reload-on.ts';
import { VerdictBlock } from './VerdictBlock.tsx';

interface PairViewProps {
  readonly choice: CompleteChoice;
  readonly onForce: () => void;
}

const outdatedBy = ['standingsChanged', 'catalogueChanged', 'settingsChanged'] as const;

/** The answer to what is chosen, and everything behind it. */
export function PairView({ choice, onForce }: PairViewProps) {
  const { result, error, isLoading, reload } = useRequest(
    'compare',
    comparedRequest(choice),
    'trialsChanged',
  );
  useReloadOn(outdatedBy, reload);
  // The answer of before says by itself of whom and what it is, so it may stand until the next has come; after a failure not.
  const shown = error === null ? result : null;
  return (
    <>
      <AskAgain error={error} onAsk={reload} />
      {shown === null && error === null ? <p role="status">Comparing.</p> : null}
      {shown === null ? null : (
        <div className="compare-answer" aria-busy={isLoading}>
          {shown.notComparable === null ? null : (
            <NotComparablePanel reasons={shown.notComparable.reasons} choice={choice} onForce={onForce} />
          )}
          {shown.result === null ? null : <Answer comparison={shown.result} choice={choice} />}
        </div>
      )}
      <FieldPanel key={`${stepKey(choice.step)} ${measureKey(choice.measure)}`} choice={choice} />
    </>
  );
}

interface AnswerProps {
  readonly comparison: Comparison;
  readonly choice: CompleteChoice;
}

function Answer({ comparison, choice }: AnswerProps) {
  const { a, b } = comparison;
  const names = sideNames(a.contender, b.contender);
  const key = `${a.contender.key} ${b.contender.key} ${stepKey(comparison.step)}`;
  return (
    <>
      <VerdictBlock
        comparison={comparison}
        names={names}
        share={
          <ShareLink subject={{ kind: 'comparison', asked: comparedRequest(choice) }} of="this comparison" />
        }
      />
      <CurvesPanel key={key} comparison={comparison} names={names} />
      <RunsPanel comparison={comparison} names={names} />
      {comparison.step.kind === 'breakaway' ? null : (
        <ReachPanel
          pair={comparedPair(choice)}
          a={a.contender}
          b={b.contender}
          names={names}
          runCount={a.count + a.noValueCount + b.count + b.noValueCount}
        />
      )}
    </>
  );
}
