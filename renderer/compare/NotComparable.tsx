import { useRequest } from '../api-client/use-request.ts';
import { Button } from '../ui/Button.tsx';
import { ActionRow, Panel } from '../ui/Panel.tsx';
import { StateShape } from '../ui/StateShape.tsx';
import type { CompleteChoice } from './choose-pair.ts';
import { comparedRequest } from './compared-request.ts';

interface NotComparablePanelProps {
  readonly reasons: readonly string[];
  readonly choice: CompleteChoice;
  readonly onForce: () => void;
}

/** Why there is no verdict; and where one can be had all the same, the way to it, marked as what it is. */
export function NotComparablePanel({ reasons, choice, onForce }: NotComparablePanelProps) {
  // Some reasons no will can lift, such as simulated against real; only a try shows which these are.
  const { result } = useRequest(
    'compare',
    choice.isForced ? null : comparedRequest({ ...choice, isForced: true }),
    'trialsChanged',
  );
  const canBeForced = !choice.isForced && result !== null && result.result !== null;
  return (
    <Panel title="These two cannot be compared as they are">
      <ul className="compare-reasons" aria-label="Reasons">
        {reasons.map((reason) => (
          <li key={reason}>
            <StateShape shape="caution" /> <span>{reason}</span>
          </li>
        ))}
      </ul>
      {canBeForced ? (
        <>
          <p className="compare-soft">
            A difference between them may be the bench’s and not the tools’. What you see then is marked so,
            here and wherever it is shown.
          </p>
          <ActionRow>
            <Button onPress={onForce}>Show all the same, as not like for like</Button>
          </ActionRow>
        </>
      ) : null}
    </Panel>
  );
}
