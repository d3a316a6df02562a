import type { Settings } from '../../../shared-lib/api-contract.ts';
import { scaleWords, scoreWords } from '../tool-sentences.ts';
import './scale-words.css';

interface ScaleWordsProps {
  readonly scale: Settings['handlingScale'];
  /** Side by side, where height is scarce. */
  readonly isInRow?: boolean;
}

/** What the tester means by 1, 5 and 10; nothing where no words were written. */
export function ScaleWords({ scale, isInRow = false }: ScaleWordsProps) {
  const lines = scaleWords(scale);
  if (lines.length === 0) return null;
  return (
    <dl className={isInRow ? 'tool-scale tool-scale-row' : 'tool-scale'} aria-label="What the numbers mean">
      {lines.map(({ score, words }) => (
        <div key={score}>
          <dt>{scoreWords(score)}</dt>
          <dd>{words}</dd>
        </div>
      ))}
    </dl>
  );
}
