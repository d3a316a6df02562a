import { useEffect, useState } from 'react';
import type { AppError } from '../../../shared-lib/app-error.ts';
import type { ComparedPair } from '../../../shared-lib/comparison/comparison-requests.ts';
import type { Contender, NotComparable, Reach } from '../../../shared-lib/comparison/comparison-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import type { SideNames } from '../../../shared-lib/comparison/words/compare-sentences.ts';
import { ReachView } from './ReachView.tsx';

interface ReachPanelProps {
  readonly pair: ComparedPair;
  readonly a: Contender;
  readonly b: Contender;
  readonly names: SideNames;
  readonly runCount: number;
}

interface Answer {
  /** The pair as it was asked for. */
  readonly key: string;
  readonly reach: Reach | null;
  readonly notComparable: NotComparable | null;
  readonly isOutdated: boolean;
}

/** Who reaches which torque first, over the whole range: read from the raw curves, so only when it is asked for. */
export function ReachPanel({ pair, a, b, names, runCount }: ReachPanelProps) {
  const connection = useConnection();
  const action = useAction();
  const [answer, setAnswer] = useState<Answer | null>(null);
  const key = JSON.stringify(pair);
  useEffect(
    () =>
      connection.subscribe('trialsChanged', () =>
        setAnswer((before) => (before === null ? null : { ...before, isOutdated: true })),
      ),
    [connection],
  );
  const ask = () =>
    void action.run(async () => {
      const { result, notComparable } = await connection.request('compareReach', pair);
      setAnswer({ key, reach: result, notComparable, isOutdated: false });
    });
  const shown = answer?.key === key ? answer : null;
  return (
    <Panel
      title="Who reaches which torque first?"
      lead="Over the whole range of torque, not only at a level that was chosen because of its answer."
      actions={
        shown === null || action.isBusy ? undefined : (
          <Button onPress={ask} look="quiet">
            Read the curves again
          </Button>
        )
      }
    >
      <FailureNotice error={hiddenWhile(action.isBusy, action.error)} />
      {action.isBusy ? (
        <p role="status">
          <progress className="reach-progress" aria-label="Reading the curves" /> Reading the raw curves of{' '}
          {runCount} runs. This can take some seconds; the rest of the page goes on working.
        </p>
      ) : shown === null ? (
        <ActionRow>
          <Button onPress={ask}>Find out from the raw curves</Button>
        </ActionRow>
      ) : null}
      {shown?.isOutdated === true && !action.isBusy ? (
        <Notice kind="information">A trial has changed since. Read the curves again to take it in.</Notice>
      ) : null}
      {shown?.notComparable?.reasons.map((reason) => (
        <Notice key={reason} kind="caution">
          {reason}
        </Notice>
      ))}
      {shown?.reach == null ? null : <ReachView reach={shown.reach} a={a} b={b} names={names} />}
    </Panel>
  );
}

function hiddenWhile(isBusy: boolean, error: AppError | null): AppError | null {
  return isBusy ? null : error;
}
