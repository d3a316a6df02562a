import { useState } from 'react';
import { useConnection, useSettings } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { ScaleWords } from '../../tools/tool/ScaleWords.tsx';
import { handlingScores, scoreWords } from '../../tools/tool-sentences.ts';
import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import type { HandlingQuestion } from './handling-question.ts';
import './handling-panel.css';
import { putOff, putOffKey } from './put-off.ts';

const scores = handlingScores.map((score) => ({ key: String(score), label: scoreWords(score) }));

export interface HandlingPanelProps {
  readonly question: Exclude<HandlingQuestion, { state: 'none' }>;
}

/** Stands where the figures will: they are held back until the tool has been judged by hand alone. */
export function HandlingPanel({ question }: HandlingPanelProps) {
  if (question.state === 'unknown') {
    return (
      <section className="result-panel" aria-label="Result">
        <p>One moment.</p>
      </section>
    );
  }
  return question.state === 'later' ? (
    <HeldBack question={question} />
  ) : (
    // Another tool is another question: nothing that was chosen for this one goes over.
    <Question key={question.toolId} question={question} />
  );
}

interface PartProps<State extends HandlingQuestion['state']> {
  readonly question: Extract<HandlingQuestion, { state: State }>;
}

function HeldBack({ question: { toolName, toolId, sessionId } }: PartProps<'later'>) {
  const operator = useSettings()?.operator ?? '';
  return (
    <section className="result-panel" aria-label="Result">
      <h2>Figures come later</h2>
      <p>
        This pull was conditioning. After the first counted one you are asked how {toolName} feels in the
        hand; its figures are shown then.
      </p>
      <Button size="bench" onPress={() => putOff(putOffKey(sessionId, operator, toolId))}>
        Show them without rating
      </Button>
    </section>
  );
}

function Question({ question }: PartProps<'asked'>) {
  const { toolId, toolName, sessionId, wereFiguresShown } = question;
  const connection = useConnection();
  const settings = useSettings();
  const { run, isBusy, error } = useAction();
  const [score, setScore] = useState<string | null>(null);
  const [isUnseen, setIsUnseen] = useState(false);
  if (settings === null) return null;
  const { operator, handlingScale } = settings;
  const rate = () =>
    run(() =>
      connection.request('rateHandling', {
        toolId,
        rater: operator.trim(),
        score: Number(score),
        isBlind: !wereFiguresShown || isUnseen,
        note: '',
      }),
    );
  return (
    <section className="result-panel handling-panel" aria-label="Handling">
      <div className="handling-question" aria-live="polite">
        <h2>How does {toolName} feel in the hand?</h2>
        <p>1 to 10, your judgement, {operator}.</p>
      </div>
      <ScaleWords scale={handlingScale} isInRow />
      <ChoiceField
        label="Your judgement"
        isLabelHidden
        choices={scores}
        selected={score}
        onSelect={setScore}
      />
      {wereFiguresShown ? (
        <Checkbox isSelected={isUnseen} onChange={setIsUnseen}>
          I have not seen its figures (it was pulled before)
        </Checkbox>
      ) : null}
      <FailureNotice error={error} />
      <div className="handling-actions">
        <Button size="bench" isDisabled={score === null} isPending={isBusy} onPress={() => void rate()}>
          {score === null ? 'Choose a number' : `Store ${score} and show the figures`}
        </Button>
        <Button size="bench" onPress={() => putOff(putOffKey(sessionId, operator, toolId))}>
          Not now
        </Button>
      </div>
    </section>
  );
}
