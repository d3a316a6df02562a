import type { Quality } from '../../shared-lib/trial/trial-model.ts';
import { StateShape, type StateShapeName } from '../ui/StateShape.tsx';
import { qualityWords } from './bench-sentences.ts';
import './quality-mark.css';

const shapes: Readonly<Record<Quality['verdict'], StateShapeName>> = {
  good: 'good',
  look: 'caution',
  notUsable: 'fault',
};

/** Whether a run can be believed, in a word, a shape and the reasons. */
export function QualityMark({ quality }: { readonly quality: Quality }) {
  return (
    <div className="quality-mark">
      <p className="quality-mark-word">
        <StateShape shape={shapes[quality.verdict]} />
        <span>
          <span className="visually-hidden">Quality: </span>
          {qualityWords[quality.verdict]}
        </span>
      </p>
      {quality.reasons.length === 0 ? null : (
        <ul className="quality-mark-reasons">
          {quality.reasons.map(({ code, sentence }) => (
            <li key={code}>{sentence}</li>
          ))}
        </ul>
      )}
    </div>
  );
}
