import { useState } from 'react';
import type { CatalogueTool } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { useConnection, useSettings } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { ActionRow, FieldGrid } from '../../ui/Panel.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import { handlingScores, scoreWords } from '../tool-sentences.ts';
import { earlierRating, type RatingForm, readRatingForm } from './rating-form.ts';

const scoreOptions = handlingScores.map((score) => ({ key: String(score), label: scoreWords(score) }));

/** A rating at the desk, by anybody who held the tool. */
export function RateForm({ tool }: { readonly tool: CatalogueTool }) {
  const connection = useConnection();
  const operator = useSettings()?.operator ?? '';
  const [typed, setTyped] = useState<Partial<RatingForm>>({});
  const { run, isBusy, error } = useAction();
  const form: RatingForm = { rater: operator, score: null, isBlind: false, note: '', ...typed };
  const change = (part: Partial<RatingForm>) => setTyped((before) => ({ ...before, ...part }));
  const reading = readRatingForm(form, tool.tool.id);
  const earlier = earlierRating(tool.ratings, form.rater);
  const rate = async () => {
    if ('missing' in reading || isBusy) return;
    if (await run(() => connection.request('rateHandling', reading.value))) setTyped({});
  };
  return (
    <section className="tool-lines" aria-label="Rate it">
      <FieldGrid>
        <TextField
          label="Rater"
          value={form.rater}
          onChange={(rater) => change({ rater })}
          maxLength={80}
          isRequired
        />
        <SelectField
          label="Judgement, 1 to 10"
          options={scoreOptions}
          selected={form.score}
          onSelect={(score) => change({ score })}
        />
        <TextField
          label="Why"
          value={form.note}
          onChange={(note) => change({ note })}
          placeholder="such as: grip, balance, kick"
          maxLength={500}
        />
      </FieldGrid>
      <Checkbox isSelected={form.isBlind} onChange={(isBlind) => change({ isBlind })}>
        Blind: the rater has not seen the tool’s figures
      </Checkbox>
      <FailureNotice error={error} />
      <ActionRow>
        <Button isDisabled={'missing' in reading} isPending={isBusy} onPress={() => void rate()}>
          Store this rating
        </Button>
        {earlier === null || form.score === null ? null : (
          <span className="tool-soft">
            Replaces the {scoreWords(earlier.score)} of {earlier.rater}, which stays stored.
          </span>
        )}
      </ActionRow>
    </section>
  );
}
