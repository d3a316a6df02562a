import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import { Button } from '../../ui/Button.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { CopyOutcomeLine } from '../copying/CopyOutcomeLine.tsx';
import { pickedAddress } from '../logbook-filter.ts';
import { ColumnChoice } from './ColumnChoice.tsx';
import type { ColumnKey } from './table-columns.ts';
import type { TrialCopier } from './use-trial-copy.ts';

interface LogbookToolbarProps {
  readonly total: number;
  readonly isFiltered: boolean;
  /** Of the address: what a page that works on all that is found has to know. */
  readonly suffix: string;
  readonly picked: ReadonlySet<string>;
  readonly onPickNone: () => void;
  readonly copier: TrialCopier;
  readonly hidden: ReadonlySet<ColumnKey>;
  readonly onHidden: (hidden: ReadonlySet<ColumnKey>) => void;
}

/** How many there are, and what can be done with the picked ones, or else with the one row or with all. */
export function LogbookToolbar(props: LogbookToolbarProps) {
  const { total, isFiltered, suffix, picked, onPickNone, copier, hidden, onHidden } = props;
  const hasPicked = picked.size > 0;
  return (
    <div className="logbook-toolbar">
      <p className="logbook-count" role="status">
        {countSentence(total, isFiltered)}
        {hasPicked ? `, ${picked.size} picked` : ''}
      </p>
      {hasPicked ? (
        <Button look="quiet" onPress={onPickNone}>
          Pick none
        </Button>
      ) : null}
      <CopyOutcomeLine outcome={copier.outcome} />
      <Button onPress={copier.copy} isDisabled={!copier.canCopy}>
        {hasPicked ? `Copy the ${picked.size} picked` : 'Copy the row'}
      </Button>
      <LinkButton href={hasPicked ? pickedAddress(picked) : `/logbook/reassign${suffix}`}>
        {hasPicked ? `Reassign the ${picked.size} picked` : `Reassign ${total === 1 ? 'it' : 'all of these'}`}{' '}
        to another calibration
      </LinkButton>
      <ColumnChoice hidden={hidden} onHidden={onHidden} />
    </div>
  );
}

function countSentence(total: number, isFiltered: boolean): string {
  const trials = total === 1 ? '1 trial' : `${formatNumber(total, 0)} trials`;
  if (!isFiltered) return trials;
  return total === 1 ? `${trials} matches` : `${trials} match`;
}
