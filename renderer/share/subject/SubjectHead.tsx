import { useState } from 'react';
import type { Subject, SubjectDescription } from '../../../shared-lib/publishing/publishing-model.ts';
import { Button } from '../../ui/Button.tsx';
import { SubjectDialog } from './SubjectDialog.tsx';

interface SubjectHeadProps {
  readonly subject: Subject;
  /** Null: not known yet, or it cannot be found. */
  readonly description: SubjectDescription | null;
  readonly onChoose: (subject: Subject) => void;
}

/** What is published, in a line and a sentence, and the way to something else. */
export function SubjectHead({ subject, description, onChoose }: SubjectHeadProps) {
  const [isChoosing, setIsChoosing] = useState(false);
  return (
    <section className="share-subject" aria-label="What is published">
      <div className="share-subject-words">
        <h2>
          {description?.title ?? 'What is published'}
          {description?.isSimulated === true ? <span className="share-mark">simulated</span> : null}
        </h2>
        {description === null ? null : <p>{description.sentence}</p>}
      </div>
      <Button onPress={() => setIsChoosing(true)}>Choose something else</Button>
      {isChoosing ? (
        <SubjectDialog
          current={subject}
          onClose={() => setIsChoosing(false)}
          onChoose={(next) => {
            setIsChoosing(false);
            onChoose(next);
          }}
        />
      ) : null}
    </section>
  );
}
