import { useMemo } from 'react';
import { directionSchema, kindSchema } from '../../../shared-lib/trial/step-model.ts';
import type { TrialMeasure } from '../../../shared-lib/comparison/trial-measure.ts';
import { useSettings } from '../../api-client/ConnectionContext.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FieldGrid } from '../../ui/Panel.tsx';
import { levelWords } from '../../../shared-lib/level-words.ts';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import {
  capitalised,
  figureWords,
  kindWords,
  propertyLabel,
} from '../../../shared-lib/standings/words/measure-words.ts';
import type { QuantityContext } from '../words/measure-quantity.ts';
import type { ReferenceTools } from './reference-tools.ts';
import { type Figure, figuresOfKind, instants, properties, type TermForm, termReaders } from './term-form.ts';
import { WayFields } from './WayFields.tsx';

const ofs = [
  { key: 'trial', label: 'A figure of trials' },
  { key: 'tool', label: 'A property of the tool' },
  { key: 'ratio', label: 'A figure per property' },
  { key: 'scheme', label: 'The total of another scheme' },
] as const;
const kinds = kindSchema.def.values.map((key) => ({ key, label: kindWords[key] }));
const directions = directionSchema.def.values.map((key) => ({ key, label: capitalised(key) }));
const allProperties = properties.map((key) => ({ key, label: propertyLabel(key) }));
const betters = [
  { key: 'more', label: 'More is better' },
  { key: 'less', label: 'Less is better' },
] as const;
const missings = [
  { key: 'leaveOut', label: 'Leave the term out' },
  { key: 'zero', label: 'Count it as zero points' },
  { key: 'notRanked', label: 'Do not rank the tool' },
] as const;

export interface TermFieldsProps {
  readonly term: TermForm;
  readonly label: string;
  readonly context: QuantityContext;
  readonly others: readonly { readonly schemeId: string; readonly name: string }[];
  readonly references: ReferenceTools;
  readonly onChange: (part: Partial<TermForm>) => void;
}

/** All of one term: what is measured, how it becomes points, and what happens where it is missing. */
export function TermFields({ term, label, context, others, references, onChange }: TermFieldsProps) {
  return (
    <div className="standings-fields">
      <TextField
        label="Name"
        value={term.isLabelSuggested ? label : term.label}
        onChange={(typed) => onChange({ label: typed, isLabelSuggested: false })}
        maxLength={80}
        help="As the column is called"
      />
      <ChoiceField label="Scored is" choices={ofs} selected={term.of} onSelect={(of) => onChange({ of })} />
      {term.of === 'trial' || term.of === 'ratio' ? (
        <TrialMeasureFields term={term} context={context} onChange={onChange} />
      ) : null}
      {term.of === 'trial' ? null : (
        <FieldGrid>
          {term.of === 'tool' ? (
            <SelectField
              label="Property"
              options={allProperties}
              selected={term.property}
              onSelect={(property) => onChange({ property })}
            />
          ) : null}
          {term.of === 'ratio' ? (
            <SelectField
              label="Per"
              options={allProperties}
              selected={term.per}
              onSelect={(per) => onChange({ per })}
              help="Over a claim it is the share of what is claimed"
            />
          ) : null}
          {term.of === 'scheme' ? (
            <SelectField
              label="Other scheme"
              options={others.map(({ schemeId, name }) => ({ key: schemeId, label: name }))}
              selected={term.schemeId}
              onSelect={(schemeId) => onChange({ schemeId })}
              help="Its total, by its newest version"
            />
          ) : null}
        </FieldGrid>
      )}
      <ChoiceField
        label="Which is better"
        choices={betters}
        selected={term.better}
        onSelect={(better) => onChange({ better })}
      />
      <WayFields term={term} context={context} references={references} onChange={onChange} />
      <FieldGrid>
        <QuantityField
          label="Factor"
          typed={term.factor}
          onTyped={(factor) => onChange({ factor })}
          parse={termReaders.factor}
          help="The points are multiplied by it"
          isRequired
        />
        <QuantityField
          label="Cap, points"
          typed={term.cap}
          onTyped={(cap) => onChange({ cap })}
          parse={termReaders.cap}
          help="The most that the term can bring; empty: no cap"
        />
        <SelectField
          label="Where it is missing"
          options={missings}
          selected={term.missing}
          onSelect={(missing) => onChange({ missing })}
        />
      </FieldGrid>
    </div>
  );
}

function TrialMeasureFields({
  term,
  context,
  onChange,
}: Pick<TermFieldsProps, 'term' | 'context' | 'onChange'>) {
  const settings = useSettings();
  const levels = [
    ...new Set([...(settings?.levelsNm ?? []), ...(term.levelNm === null ? [] : [term.levelNm])]),
  ];
  const figures = useMemo(
    () => figuresOfKind(term.kind).map((key) => ({ key, label: figureLabels[key] })),
    [term.kind],
  );
  return (
    <>
      <div className="scheme-choices">
        <ChoiceField
          label="Kind of pull"
          choices={kinds}
          selected={term.kind}
          onSelect={(kind) => onChange({ kind })}
        />
        <ChoiceField
          label="Direction"
          choices={directions}
          selected={term.direction}
          onSelect={(direction) => onChange({ direction })}
        />
      </div>
      <FieldGrid>
        <QuantityField
          label="Time of the pull"
          typed={term.planned}
          onTyped={(planned) => onChange({ planned })}
          parse={termReaders.planned}
          help="Trials of this time and no other are asked"
          isRequired
        />
        <SelectField
          label="Figure"
          options={figures}
          selected={term.figure}
          onSelect={(figure) => onChange({ figure })}
        />
        {term.figure === 'torqueAt' ? (
          <SelectField
            label="At"
            options={instants.map((atS) => ({
              key: String(atS),
              label: figureWords({ figure: 'torqueAt', atS }, String),
            }))}
            selected={String(term.atS)}
            onSelect={(key) => {
              const atS = instants.find((instant) => String(instant) === key);
              if (atS !== undefined) onChange({ atS });
            }}
          />
        ) : null}
        {term.figure === 'timeToLevel' ? (
          <SelectField
            label="Torque level"
            options={levels.map((levelNm) => ({
              key: String(levelNm),
              label: levelWords(levelNm, context.torque.unit),
            }))}
            selected={term.levelNm === null ? null : String(term.levelNm)}
            onSelect={(key) => {
              const levelNm = levels.find((level) => String(level) === key);
              if (levelNm !== undefined) onChange({ levelNm });
            }}
            help="Levels are listed in Setup"
          />
        ) : null}
      </FieldGrid>
    </>
  );
}

const simple = (figure: Exclude<Figure, 'torqueAt' | 'timeToLevel'>): string => {
  const measure: TrialMeasure = { figure };
  return figureWords(measure, String);
};

const figureLabels: Readonly<Record<Figure, string>> = {
  sustainedTorque: simple('sustainedTorque'),
  finalTorque: simple('finalTorque'),
  torqueAt: 'Torque at a time',
  timeTo90Percent: simple('timeTo90Percent'),
  timeToLevel: 'Time to a torque',
  stallTorque: simple('stallTorque'),
  releasedPreload: simple('releasedPreload'),
  lastTorque: simple('lastTorque'),
};
