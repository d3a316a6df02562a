import { useState } from 'react';
import type { Plan } from '../../shared-lib/run-sheet/plan-model.ts';
import { useRequest } from '../api-client/use-request.ts';
import { Button } from '../ui/Button.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { plainNumberReader } from '../ui/form-reader.ts';
import { ActionRow, FieldGrid, Panel } from '../ui/Panel.tsx';
import { QuantityField } from '../ui/QuantityField.tsx';
import { quantityReader, valueOf } from '../ui/read-quantity.ts';
import { durationWords } from './run-sheet-sentences.ts';

const readMinutes = plainNumberReader(1, 1440);
const readScatter = quantityReader({ kind: 'percent', unit: 'percent', min: 0.05, max: 50 });
const readMargin = quantityReader({ kind: 'percent', unit: 'percent', min: 0.1, max: 100 });
const MOST_ROUNDS = 30;

interface RoundPlannerProps {
  readonly plan: Plan;
  readonly setupCount: number;
  readonly hasReference: boolean;
  readonly onRounds: (rounds: number) => void;
}

/** How many rounds it takes, and how many there is time for. */
export function RoundPlanner({ plan, setupCount, hasReference, onRounds }: RoundPlannerProps) {
  const [minutes, setMinutes] = useState('120');
  const [scatter, setScatter] = useState('2 %');
  const [margin, setMargin] = useState('5 %');
  const minutesAtHand = valueOf(readMinutes(minutes));
  const scatterPercent = valueOf(readScatter(scatter));
  const marginPercent = valueOf(readMargin(margin));
  const isComplete = minutesAtHand !== null && scatterPercent !== null && marginPercent !== null;
  const { result, error } = useRequest(
    'planRounds',
    isComplete && setupCount >= 2
      ? { plan, setupCount, hasReference, minutesAtHand, scatterPercent, marginPercent }
      : null,
  );
  return (
    <Panel title="How many rounds?" lead="Enough to find a difference that matters, if the time allows it.">
      <FieldGrid>
        <QuantityField
          label="Minutes at hand"
          typed={minutes}
          onTyped={setMinutes}
          parse={readMinutes}
          isRequired
        />
        <QuantityField
          label="Expected scatter"
          typed={scatter}
          onTyped={setScatter}
          parse={readScatter}
          help="Between runs of one setup, standard deviation; 1 to 3 % is usual (common practice, no source)"
          isRequired
        />
        <QuantityField
          label="Margin"
          typed={margin}
          onTyped={setMargin}
          parse={readMargin}
          help="The difference that is to be found"
          isRequired
        />
      </FieldGrid>
      <FailureNotice error={error} />
      {setupCount < 2 ? (
        <p className="sheet-missing">It takes two setups at least to find a difference.</p>
      ) : result === null ? null : (
        <>
          {result.sentences.map((sentence) => (
            <p key={sentence}>{sentence}</p>
          ))}
          <ActionRow>
            <RoundsButton label="Take the rounds needed" rounds={result.roundsNeeded} onRounds={onRounds} />
            <RoundsButton
              label="Take the rounds that fit"
              rounds={result.roundsThatFit}
              onRounds={onRounds}
            />
            <span className="sheet-soft">One round takes about {durationWords(result.roundS)}.</span>
          </ActionRow>
        </>
      )}
    </Panel>
  );
}

interface RoundsButtonProps {
  readonly label: string;
  readonly rounds: number | null;
  readonly onRounds: (rounds: number) => void;
}

function RoundsButton({ label, rounds, onRounds }: RoundsButtonProps) {
  if (rounds === null || rounds < 1 || rounds > MOST_ROUNDS) return null;
  return (
    <Button onPress={() => onRounds(rounds)}>
      {label} ({rounds})
    </Button>
  );
}
