import { useState } from 'react';
import type { SchemeFinding, TermMeasure } from '../../../shared-lib/standings/scheme-model.ts';
import { FormReader } from '../../ui/form-reader.ts';
import { Button } from '../../ui/Button.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { MOST_TERMS, movedTerm, type SchemeForm, termLabel, withoutTerm, withTerm } from './scheme-form.ts';
import {
  findingsOf,
  type SchemeWords,
  termWords,
} from '../../../shared-lib/standings/words/scheme-sentences.ts';
import type { QuantityContext } from '../words/measure-quantity.ts';
import type { ReferenceTools } from './reference-tools.ts';
import { emptyTermForm, readTermForm, type TermForm } from './term-form.ts';
import { TermFields } from './TermFields.tsx';
import { TermRow } from './TermRow.tsx';

interface TermListProps {
  readonly form: SchemeForm;
  readonly words: SchemeWords;
  readonly context: QuantityContext;
  readonly findings: readonly SchemeFinding[];
  readonly others: readonly { readonly schemeId: string; readonly name: string }[];
  readonly references: ReferenceTools;
  readonly onForm: (change: (form: SchemeForm) => SchemeForm) => void;
}

/** The terms as rows, in the order of the columns. */
export function TermList({ form, words, context, findings, others, references, onForm }: TermListProps) {
  const [openId, setOpenId] = useState<string | null>(null);
  const add = () => {
    const last = form.terms.at(-1);
    const term = { ...emptyTermForm(crypto.randomUUID(), null), ...(last === undefined ? {} : stepOf(last)) };
    onForm((before) => ({ ...before, terms: [...before.terms, term] }));
    setOpenId(term.id);
  };
  return (
    <Panel
      title={form.terms.length === 1 ? '1 term' : `${form.terms.length} terms`}
      lead="Each brings points; the total is their sum."
    >
      <ol className="standings-plain-list scheme-terms" aria-label="Terms">
        {form.terms.map((term, index) => (
          <TermRow
            key={term.id}
            number={index + 1}
            count={form.terms.length}
            label={termLabel(term, words.measure)}
            words={rowWords(term, words, context)}
            findings={findingsOf(findings, term.id)}
            isOpen={openId === term.id}
            onToggle={() => setOpenId(openId === term.id ? null : term.id)}
            onMove={(by) => onForm((before) => movedTerm(before, term.id, by))}
            onRemove={() => onForm((before) => withoutTerm(before, term.id))}
          >
            <TermFields
              term={term}
              label={termLabel(term, words.measure)}
              context={context}
              others={others}
              references={references}
              onChange={(part) => onForm((before) => withTerm(before, term.id, part))}
            />
          </TermRow>
        ))}
      </ol>
      <ActionRow>
        <Button isDisabled={form.terms.length >= MOST_TERMS} onPress={add}>
          Add a term
        </Button>
      </ActionRow>
    </Panel>
  );
}

/** A new term asks for the same pull as the one above it, as most schemes do. */
function stepOf({ kind, direction, planned }: TermForm): Pick<TermForm, 'kind' | 'direction' | 'planned'> {
  return { kind, direction, planned };
}

function rowWords(form: TermForm, words: SchemeWords, context: QuantityContext): string {
  const reader = new FormReader();
  const label = termLabel(form, words.measure);
  const term = readTermForm(form, label === '' ? 'term' : label, context, reader);
  if (term === null || reader.missing.length > 0) return 'Not complete yet.';
  const measure: TermMeasure = term.measure;
  return `${words.measure(measure)}: ${termWords(term, words)}.`;
}
