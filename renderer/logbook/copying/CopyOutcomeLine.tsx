import { StateShape } from '../../ui/StateShape.tsx';
import type { CopyOutcome } from './use-copy.ts';

/** Spoken when it changes; stands there empty before, since a live region must be there first. */
export function CopyOutcomeLine({ outcome }: { readonly outcome: CopyOutcome | null }) {
  return (
    <span className="copy-outcome" role="status">
      {outcome?.isProblem === true ? <StateShape shape="caution" /> : null}
      {outcome?.words ?? ''}
    </span>
  );
}
