import type { Settings } from '../../../shared-lib/api-contract.ts';
import { scaleWords, scoreWords } from '../tool-sentences.ts';
import './scale-words.css';

/** What the tester means by 1, 5 and 10; nothing where no words were written. */
export function ScaleWords({ scale }: { readonly scale: Settings['handlingScale'] }) {
  const lines = scaleWords(scale);
  if (lines.length === 0) return null;
  return (
    <dl className="tool-scale" aria-label="What the numbers mean">
      {lines.map(({ score, words }) => (
        <div key={score}>
          <dt>{scoreWords(score)}</dt>
          <dd>{words}</dd>
        </div>
      ))}
    </dl>
  );
}
