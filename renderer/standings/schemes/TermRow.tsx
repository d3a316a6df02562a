import type { ReactNode } from 'react';
import type { SchemeFinding } from '../../../shared-lib/standings/scheme-model.ts';
import { Button } from '../../ui/Button.tsx';
import { FindingList } from './FindingList.tsx';

interface TermRowProps {
  readonly number: number;
  readonly count: number;
  readonly label: string;
  /** What it brings, in words. */
  readonly words: string;
  readonly findings: readonly SchemeFinding[];
  readonly isOpen: boolean;
  readonly onToggle: () => void;
  readonly onMove: (by: -1 | 1) => void;
  readonly onRemove: () => void;
  readonly children: ReactNode;
}

/** One term: its rule in words, and its fields once they are asked for. */
export function TermRow(props: TermRowProps) {
  const { number, count, label, words, findings, isOpen, onToggle, onMove, onRemove, children } = props;
  const name = label === '' ? `term ${number}` : label;
  return (
    <li className="scheme-term" aria-label={`Term ${number}: ${name}`}>
      <div className="scheme-term-head">
        <div>
          <h3>
            {number}. {label === '' ? 'New term' : label}
          </h3>
          <p className="standings-soft">{words}</p>
        </div>
        <div className="scheme-term-actions">
          <Button
            look={isOpen ? 'quiet' : 'plain'}
            aria-expanded={isOpen}
            aria-label={isOpen ? `Close ${name}` : `Change ${name}`}
            onPress={onToggle}
          >
            {isOpen ? 'Close' : 'Change'}
          </Button>
          <Button
            look="quiet"
            aria-label={`Move ${name} up`}
            isDisabled={number === 1}
            onPress={() => onMove(-1)}
          >
            Up
          </Button>
          <Button
            look="quiet"
            aria-label={`Move ${name} down`}
            isDisabled={number === count}
            onPress={() => onMove(1)}
          >
            Down
          </Button>
          <Button look="quiet" aria-label={`Remove ${name}`} onPress={onRemove}>
            Remove
          </Button>
        </div>
      </div>
      <FindingList label={`Findings on ${name}`} findings={findings} />
      {isOpen ? children : null}
    </li>
  );
}
