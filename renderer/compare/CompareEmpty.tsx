import { THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import { EmptyState } from '../ui/EmptyState.tsx';
import { LinkButton } from '../ui/LinkButton.tsx';
import { runSheetAddresses } from '../run-sheet/run-sheet-addresses.ts';
import type { ListedContender } from './choose-pair.ts';
import { stepsSentence } from './picker-options.ts';

function Ways() {
  return (
    <>
      <LinkButton href="/bench" look="primary">
        Go to the Bench
      </LinkButton>
      <LinkButton href={runSheetAddresses.newSheet}>Make a run sheet</LinkButton>
    </>
  );
}

/** Nothing was pulled yet. */
export function NobodyYet() {
  return (
    <EmptyState title="Who is ahead will be here" actions={<Ways />}>
      <div className="compare-empty">
        <p>
          Pull two tools by the same step, such as forward for {`5${THIN_SPACE}s`}, and keep the trials. This
          page then says who is ahead and by how much, with the interval that the scatter leaves, and shows
          every run behind it.
        </p>
        <p>
          Two runs of each give a first answer. A run sheet takes care of rounds and of their order, so that
          the answer is not one of the day.
        </p>
      </div>
    </EmptyState>
  );
}

/** Somebody is there, but nobody to stand beside them. */
export function AloneSoFar({ contenders }: { readonly contenders: readonly ListedContender[] }) {
  const [one] = contenders;
  const isOne = contenders.length === 1;
  return (
    <EmptyState
      title={isOne ? `${one?.label ?? 'One tool'} is alone so far` : 'No two share a step yet'}
      actions={<Ways />}
    >
      <div className="compare-empty">
        <p>
          {isOne
            ? 'Pull another tool by the same step and keep the trial; then the two stand here against each other.'
            : 'Only trials of one kind, direction and planned time are compared with each other. Pull two of these by the same step:'}
        </p>
        <ul className="compare-steps">
          {contenders.map((contender) => (
            <li key={contender.key}>{stepsSentence(contender)}</li>
          ))}
        </ul>
      </div>
    </EmptyState>
  );
}
