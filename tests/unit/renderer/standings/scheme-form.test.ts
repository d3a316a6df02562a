import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type SchemeDraft,
  schemeDraftSchema,
  type Term,
  type TermMeasure,
  type TermWay,
} from '../../../../shared-lib/standings/scheme-model.ts';
import {
  emptySchemeForm,
  inOtherContext,
  movedTerm,
  readSchemeForm,
  type SchemeForm,
  schemeForm,
  termLabel,
  withoutTerm,
  withTerm,
} from '../../../../renderer/standings/schemes/scheme-form.ts';
import {
  emptyTermForm,
  figuresOfKind,
  properties,
} from '../../../../renderer/standings/schemes/term-form.ts';
import { measureWords } from '../../../../shared-lib/standings/words/measure-words.ts';
import type { QuantityContext } from '../../../../renderer/standings/words/measure-quantity.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import { demoScheme, forward5, torqueTerm } from '../../../helpers/scripted-standings.ts';

const metric: QuantityContext = { torque: torqueDisplay('Nm', null), currency: 'EUR' };
const imperial: QuantityContext = { torque: torqueDisplay('ftLbf', null), currency: 'EUR' };
const words = (measure: TermMeasure) => measureWords(measure, String, () => 'Other');
let keys = 0;
const newKey = () => `key-${(keys += 1)}`;

const draft: SchemeDraft = { name: 'Demo', terms: demoScheme.terms, isNormalised: true, note: 'Why' };
const read = (form: SchemeForm, context = metric): SchemeDraft => {
  const reading = readSchemeForm(form, context, words);
  if ('missing' in reading) throw new Error(reading.missing.join());
  return reading.value;
};
const missing = (form: SchemeForm): readonly string[] => {
  const reading = readSchemeForm(form, metric, words);
  return 'missing' in reading ? reading.missing : [];
};

/** As somebody would enter them. */
const number = (min: number, max: number) =>
  fc.double({ min, max, noNaN: true }).map((value) => Number(value.toPrecision(5)));
const points = number(-500, 500);
const property = fc.constantFrom(...properties);
const trial = fc.constantFrom<Extract<TermMeasure, { of: 'trial' }>['measure']>(
  { figure: 'sustainedTorque' },
  { figure: 'torqueAt', atS: 3 },
  { figure: 'timeToLevel', levelNm: 250 },
);
const measure: fc.Arbitrary<TermMeasure> = fc.oneof(
  trial.map((of) => ({ of: 'trial' as const, step: forward5, measure: of })),
  property.map((of) => ({ of: 'tool' as const, property: of })),
  fc.tuple(trial, property).map(([of, per]) => ({ of: 'ratio' as const, step: forward5, measure: of, per })),
  fc.constant({ of: 'scheme' as const, schemeId: 'other' }),
);
const way: fc.Arbitrary<TermWay> = fc.oneof(
  fc.record({ way: fc.constant('perUnit' as const), points, amount: number(0.001, 5000) }),
  fc.record({ way: fc.constant('shareOfBest' as const), points }),
  fc.record({
    way: fc.constant('shareOfReference' as const),
    points,
    reference: fc.oneof(
      fc.record({ is: fc.constant('value' as const), value: number(0.001, 5000) }),
      fc.constant({ is: 'contender' as const, key: 'name:hollin h5' }),
    ),
  }),
  fc.record({
    way: fc.constant('steps' as const),
    steps: fc.array(fc.record({ from: number(-10, 5000), points }), { minLength: 1, maxLength: 4 }),
  }),
);
const term: fc.Arbitrary<Term> = fc.record({
  id: fc.uuid(),
  label: fc.constantFrom('Torque', 'Worth'),
  measure,
  better: fc.constantFrom('more' as const, 'less' as const),
  how: way,
  factor: number(-10, 10),
  cap: fc.option(number(0.5, 500), { nil: null }),
  missing: fc.constantFrom('leaveOut' as const, 'zero' as const, 'notRanked' as const),
});

describe('the form of a scheme', () => {
  it('gives back every scheme that it was given, in either unit of torque', () => {
    fc.assert(
      fc.property(
        fc.array(term, { minLength: 1, maxLength: 3 }),
        fc.constantFrom(metric, imperial),
        (terms, context) => {
          const made: SchemeDraft = { ...draft, terms };
          const again = read(schemeForm(made, context, newKey), context);
          expect(again).toEqual(made);
          expect(schemeDraftSchema.safeParse(again).success).toBe(true);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('means the same after the unit of torque was switched, typed with a unit or without', () => {
    const form = withTerm(schemeForm(draft, metric, newKey), 'torque', { amount: '10' });
    const switched = inOtherContext(form, metric, imperial);
    expect(switched.terms[0]?.amount.replaceAll('\u202f', ' ')).toBe('10 N·m');
    const [before] = read(form).terms;
    const [after] = read(switched, imperial).terms;
    expect(after).toEqual(before);
  });

  it('keeps what cannot be read through a switch of the unit, as it was typed', () => {
    const form = withTerm(schemeForm(draft, metric, newKey), 'torque', { amount: 'ten' });
    expect(inOtherContext(form, metric, imperial).terms[0]?.amount).toBe('ten');
  });

  it('names everything that is still needed, by its term', () => {
    expect(missing(emptySchemeForm)).toEqual(['the name of the scheme', 'a term']);
    const form = withTerm(schemeForm(draft, metric, newKey), 'torque', {
      amount: '',
      factor: 'twice',
      planned: '0',
    });
    expect(missing({ ...form, name: 'Demo' })).toEqual(['the time of “Torque”']);
    expect(missing(withTerm(form, 'torque', { planned: '5' }))).toEqual([
      'the amount of “Torque”',
      'the factor of “Torque”',
    ]);
    expect(missing(withTerm(form, 'torque', { planned: '5', way: 'steps' }))).toContain(
      'a step of points of “Torque”',
    );
    expect(
      missing(
        withTerm(form, 'torque', {
          planned: '5',
          factor: '1',
          way: 'shareOfReference',
          referenceIs: 'contender',
        }),
      ),
    ).toEqual(['the reference tool of “Torque”']);
  });

  it('calls a term by its measure until somebody has named it', () => {
    const added = emptyTermForm('new', forward5);
    expect(termLabel(added, words).replaceAll('\u202f', ' ')).toBe('Sustained torque, forward 5 s');
    expect(termLabel({ ...added, label: ' Strength ', isLabelSuggested: false }, words)).toBe('Strength');
    const form = { ...emptySchemeForm, name: 'Demo', terms: [added] };
    expect(read(form).terms[0]).toMatchObject({
      how: { way: 'shareOfBest', points: 100 },
      missing: 'leaveOut',
    });
  });

  it('gives way to a figure that the other kind of pull has', () => {
    const form = { ...emptySchemeForm, terms: [emptyTermForm('new', forward5)] };
    expect(withTerm(form, 'new', { kind: 'breakaway' }).terms[0]?.figure).toBe('releasedPreload');
    expect(withTerm(form, 'new', { kind: 'stall' }).terms[0]?.figure).toBe('sustainedTorque');
    expect(figuresOfKind('stall')).toContain('stallTorque');
    expect(figuresOfKind('tighten')).not.toContain('stallTorque');
  });

  it('moves and removes terms, and nothing beyond the ends', () => {
    const form = schemeForm(draft, metric, newKey);
    const ids = ({ terms }: SchemeForm) => terms.map(({ id }) => id);
    expect(ids(movedTerm(form, 'torque', 1))).toEqual(['price', 'torque']);
    expect(ids(movedTerm(form, 'torque', -1))).toEqual(['torque', 'price']);
    expect(ids(withoutTerm(form, 'torque'))).toEqual(['price']);
    expect(torqueTerm.id).toBe('torque');
  });
});
