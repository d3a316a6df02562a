import type { Quality } from '../../shared-lib/trial/trial-model.ts';
import { StateShape, type StateShapeName } from '../ui/StateShape.tsx';
import { qualityWords } from '../../shared-lib/trial/words/quality-words.ts';
import './quality-mark.css';

const shapes: Readonly<Record<Quality['verdict'], StateShapeName>> = {
  good: 'good',
  look: 'caution',
  notUsable: 'fault',
};

interface QualityMarkProps {
  readonly quality: Quality;
  /** Then that is what is to be read from three metres, whatever the samples were like. */
  readonly isVoided?: boolean;
}

/** Whether a run can be believed, in a word, a shape and the reasons. */
export function QualityMark({ quality, isVoided = false }: QualityMarkProps) {
  const word = qualityWords[quality.verdict];
  return (
    <div className="quality-mark">
      <p className="quality-mark-word">
        <StateShape shape={isVoided ? 'off' : shapes[quality.verdict]} />
        {isVoided ? (
          <span>Voided</span>
        ) : (
          <span>
            <span className="visually-hidden">Quality: </span>
            {word}
          </span>
        )}
      </p>
      {isVoided ? <p>Quality of its samples: {word.toLowerCase()}</p> : null}
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
