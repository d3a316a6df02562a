import { describe, expect, it } from 'vitest';
import { checkScheme, type SchemeContext } from '../../../../shared-lib/standings/check-scheme.ts';
import {
  measuresOfSchemes,
  parseTrialMeasureKey,
  trialMeasureKey,
} from '../../../../shared-lib/standings/measure-keys.ts';
import { readyMadeSchemes } from '../../../../shared-lib/standings/ready-made-schemes.ts';
import { schemeContextOf } from '../../../../shared-lib/standings/scheme-context.ts';
import {
  schemeVersionSchema,
  type SchemeDraft,
  type SchemeVersion,
  type Term,
} from '../../../../shared-lib/standings/scheme-model.ts';
import {
  demoInput,
  demoProperty,
  demoScheme,
  demoSubject,
  demoTerm,
  forward5,
  forwardPace,
  forwardTorque,
  keyOf,
  propertyTerm,
  torqueTrials,
} from './demo-standings.ts';

const draft = (terms: Term[], change: Partial<SchemeDraft> = {}): SchemeDraft => ({
  name: 'Draft',
  terms,
  isNormalised: false,
  note: '',
  ...change,
});
const found = (
  terms: Term[],
  {
    change = {},
    schemeId = null,
    others = [],
    context = null,
  }: {
    change?: Partial<SchemeDraft>;
    schemeId?: string | null;
    others?: SchemeVersion[];
    context?: SchemeContext | null;
  } = {},
): string[] =>
  checkScheme(draft(terms, change), schemeId, others, context).map(
    ({ severity, termId, sentence }) => `${severity} ${termId ?? '-'}: ${sentence}`,
  );
const nested = (schemeId: string): Term =>
  demoTerm({ id: 'nested', label: 'Nested', measure: { of: 'scheme', schemeId } });
const steps = (...pairs: [number, number][]): Term =>
  demoTerm({ how: { way: 'steps', steps: pairs.map(([from, points]) => ({ from, points })) } });

describe('a scheme', () => {
  it('against which nothing speaks has no findings', () => {
    expect(found([demoTerm()])).toEqual([]);
  });

  it('is stopped where two terms have one identity', () => {
    expect(
      found([demoTerm(), demoTerm({ label: 'Again', measure: forwardPace, better: 'less' })])[0],
    ).toMatch(/^stop forward: Two terms have the same identity/);
  });

  it('is warned of terms of one name, and noted where one figure counts twice', () => {
    expect(found([demoTerm(), demoTerm({ id: 'again' })])).toEqual([
      'caution -: Two terms are called “Forward”, and nobody can tell their columns apart. Name one of them otherwise.',
      'note -: “Forward” and “Forward” score the same figure, which counts as often as it stands here.',
    ]);
  });

  it('is stopped where its factors cannot be normalised', () => {
    const terms = (factor: number) => [
      demoTerm({ factor: 1 }),
      propertyTerm('length', { factor, better: 'less' }),
    ];
    expect(found(terms(-1), { change: { isNormalised: true } })[0]).toMatch(
      /^stop -: The factors sum to zero/,
    );
    expect(found(terms(-2), { change: { isNormalised: true } })[0]).toMatch(
      /^stop -: The factors sum to less than zero/,
    );
    expect(found(terms(-0.5), { change: { isNormalised: true } })[0]).toMatch(
      /^caution -: A factor is below zero/,
    );
    expect(found([demoTerm({ factor: 0 })])[0]).toMatch(/^stop -: All factors are zero/);
    expect(found(terms(-1)).some((finding) => finding.startsWith('stop'))).toBe(false);
  });

  it('is stopped where schemes refer to each other in a circle, however long', () => {
    const other = demoScheme([nested('third')], { schemeId: 'other', name: 'Other' });
    const third = (terms: Term[]) => demoScheme(terms, { schemeId: 'third', name: 'Third' });
    expect(found([nested('main')], { schemeId: 'main', others: [] })).toEqual([
      'stop nested: Nested: it refers to itself in a circle, so its total would never be known. Take one of them out.',
    ]);
    expect(found([nested('other')], { schemeId: 'main', others: [other, third([nested('main')])] })).toEqual([
      'stop nested: Nested: it refers to itself in a circle, through “Other” and “Third”, so its total would never be known. Take one of them out.',
    ]);
    expect(found([nested('other')], { schemeId: 'main', others: [other, third([demoTerm()])] })).toEqual([]);
    // The newest version counts, in whatever order they come.
    const newer = { ...third([nested('main')]), version: 2 };
    expect(
      found([nested('other')], { schemeId: 'main', others: [newer, other, third([demoTerm()])] })[0],
    ).toMatch(/circle/);
    expect(found([nested('gone')])[0]).toMatch(/^stop nested: Nested: the scheme .* is not known here/);
  });

  it('is stopped where steps do not rise, and warned where their points go the wrong way', () => {
    expect(found([steps([1, 1], [1, 2])])[0]).toMatch(/^stop forward: Forward: the steps do not rise/);
    expect(found([steps([2, 1], [1, 2])])[0]).toMatch(/^stop/);
    expect(found([steps([1, 2], [2, 1])])).toEqual([
      'caution forward: Forward: a higher step brings fewer points than a lower one.',
    ]);
    expect(found([{ ...steps([1, 2], [2, 1]), measure: forwardPace, better: 'less' }])).toEqual([]);
    // Nothing for the first step, or the same for two, is no mistake.
    expect(found([steps([1, 0], [2, 5])])).toEqual([]);
    expect(found([steps([1, 2], [2, 2])])).toEqual([]);
    expect(found([{ ...steps([1, 1], [2, 2]), measure: forwardPace, better: 'less' }])[0]).toMatch(
      /brings more points/,
    );
  });

  it('is warned of a cap that never acts on a share that charges, and not on one that brings less than a whole point', () => {
    const how = { way: 'shareOfReference', points: 1, reference: { is: 'value', value: 400 } } as const;
    const share = (points: number, factor: number) =>
      found([demoTerm({ how: { ...how, points }, factor, cap: 10 })]).filter((one) => one.includes('cap'));
    expect(share(1, -1)).toEqual([expect.stringContaining('so the cap never acts') as string]);
    expect(share(-1, 1)).toEqual([expect.stringContaining('so the cap never acts') as string]);
    expect(share(1, 0.5)).toEqual([]);
  });

  it('is warned of a cap that never acts and of a missing value that is an advantage', () => {
    const charge = propertyTerm('priceKit', { label: 'Price', better: 'less', cap: 10 });
    expect(found([charge])[0]).toMatch(
      /^caution priceKit: Price: the cap is above zero, but the term never brings/,
    );
    expect(found([{ ...charge, cap: null, missing: 'zero' }])[0]).toMatch(
      /^caution .* a missing value would be an advantage/,
    );
    expect(found([{ ...charge, cap: null, missing: 'leaveOut' }])[0]).toMatch(
      /^caution .* which is an advantage/,
    );
    expect(found([demoTerm({ missing: 'zero' })])[0]).toMatch(/^note .* marked in the table as missing/);
    const half = demoTerm({ missing: 'zero', how: { way: 'shareOfBest', points: 0.5 } });
    expect(found([half]).at(-1)).toMatch(/^note .* marked in the table as missing/);
    expect(found([demoTerm({ missing: 'leaveOut' })])[0]).toMatch(/^note .* weighs as zero points would/);
    expect(found([demoTerm({ missing: 'leaveOut' })], { change: { isNormalised: true } })).toEqual([]);
  });

  it('is told that a share of the best moves', () => {
    expect(found([demoTerm({ how: { way: 'shareOfBest', points: 100 } })])[0]).toMatch(
      /^caution forward: .* moves for everybody/,
    );
  });

  it.each([
    ['a time per mass', { ...forwardPace, of: 'ratio', per: 'massBare' }, /a time is no torque/],
    [
      'torque per decibel',
      { ...forwardTorque, of: 'ratio', per: 'declaredNoise' },
      /decibels are a logarithm/,
    ],
    [
      'tightening over a breakaway claim',
      { ...forwardTorque, of: 'ratio', per: 'breakawayClaim' },
      /released preload of a breakaway only/,
    ],
    [
      'stall torque over a fastening claim',
      {
        of: 'ratio',
        step: { ...forward5, kind: 'stall' },
        measure: { figure: 'stallTorque' },
        per: 'fasteningClaim',
      },
      /sustained torque of kind tighten only/,
    ],
    [
      'the stall torque of a tightening',
      { of: 'trial', step: forward5, measure: { figure: 'stallTorque' } },
      /Only a stall has a stall torque/,
    ],
    [
      'the torque after the end',
      { of: 'trial', step: forward5, measure: { figure: 'torqueAt', atS: 10 } },
      /ends before/,
    ],
  ] as const)('is stopped over %s', (_what, measure, sentence) => {
    const [first] = found([
      demoTerm({ measure, better: measure.measure.figure === 'timeTo90Percent' ? 'less' : 'more' }),
    ]);
    expect(first).toMatch(/^stop/);
    expect(first).toMatch(sentence);
  });

  it.each([
    ['a slow tool', demoTerm({ measure: forwardPace }), /the slower tool gets more/],
    ['a weak tool', demoTerm({ better: 'less' }), /the weaker tool gets more/],
    ['a dear tool', propertyTerm('priceKit'), /a higher price of the kit gets more points/],
    ['a claim', propertyTerm('fasteningClaim'), /what a maker states/],
    [
      'points below zero',
      demoTerm({ how: { way: 'perUnit', points: -1, amount: 1 } }),
      /turns “more is better” over/,
    ],
    ['a factor below zero', demoTerm({ factor: -1 }), /turns “more is better” over/],
    [
      'no points',
      demoTerm({ how: { way: 'perUnit', points: 0, amount: 1 } }),
      /gives zero points to everybody/,
    ],
  ])('is warned of rewarding %s', (_what, term, sentence) => {
    const [first] = found([term]);
    expect(first).toMatch(/^caution/);
    expect(first).toMatch(sentence);
  });

  it('is warned of a name that another scheme has', () => {
    const other = demoScheme([demoTerm()], { schemeId: 'other', name: 'draft ' });
    expect(found([demoTerm()], { others: [other] })[0]).toMatch(/^caution -: Another scheme is called/);
    expect(found([demoTerm()], { others: [other], schemeId: 'other' })).toEqual([]);
  });
});

describe('a scheme held against a table', () => {
  const terms = [
    demoTerm(),
    propertyTerm('massBare', { better: 'less' }),
    propertyTerm('length', { better: 'less', missing: 'leaveOut' }),
    demoTerm({
      id: 'share',
      label: 'Share',
      measure: forwardPace,
      better: 'less',
      how: { way: 'shareOfReference', points: 1, reference: { is: 'contender', key: keyOf('Tarnwick T6') } },
    }),
  ];
  const scheme = demoScheme(terms, { isNormalised: true });
  const input = demoInput({
    schemes: [scheme],
    subjects: [demoSubject('Hollin H5', [demoProperty('massBare', 2)]), demoSubject('Tarnwick T6')],
    trials: torqueTrials('Hollin H5', [500]),
  });
  const findings = (others: Term[]) =>
    found(others, {
      context: schemeContextOf({
        ...input,
        measures: measuresOfSchemes([{ terms: others }]).length > 0 ? input.measures : [],
      }),
      change: { isNormalised: true },
    });

  it('hears of a measure that nobody has or that some lack', () => {
    const all = findings(terms);
    expect(all).toContain('note forward: Forward: 1 of 2 contenders has no value and is not ranked.');
    expect(all).toContain(
      'caution length: length: none of the 2 contenders of the table has a value, so it is left out of every total.',
    );
    expect(all).toContain(
      'caution share: Share: none of the 2 contenders of the table has a value, so nobody is ranked.',
    );
  });

  it('hears of a reference that is not there or has no value', () => {
    expect(findings(terms).join('\n')).toContain('the reference that its share is taken of has no value');
    const elsewhere = {
      ...terms[3]!,
      how: { way: 'shareOfReference', points: 1, reference: { is: 'contender', key: keyOf('Nobody') } },
    } as const;
    expect(findings([elsewhere]).join('\n')).toContain('is not in the table, so nobody has points');
  });

  it('hears nothing where the table is empty', () => {
    const empty = schemeContextOf({ ...input, subjects: [] });
    expect(found([terms[0]!], { context: empty })).toEqual([]);
  });
});

describe('the ready-made schemes', () => {
  it('are valid, name only each other, and nothing stops them', () => {
    for (const scheme of readyMadeSchemes) {
      expect(schemeVersionSchema.safeParse(scheme).success).toBe(true);
      const findings = checkScheme(scheme, scheme.schemeId, readyMadeSchemes, null);
      expect(findings.filter(({ severity }) => severity === 'stop')).toEqual([]);
    }
    expect(new Set(readyMadeSchemes.map(({ schemeId }) => schemeId)).size).toBe(readyMadeSchemes.length);
  });
});

describe('the key of a measure', () => {
  it('is the same whatever the order of the fields, and reads back', () => {
    const turned = {
      measure: { atS: 5, figure: 'torqueAt' },
      step: { plannedS: 5, direction: 'forward', kind: 'tighten' },
    } as const;
    const key = trialMeasureKey(turned);
    expect(key).toBe(trialMeasureKey({ step: forward5, measure: { figure: 'torqueAt', atS: 5 } }));
    expect(parseTrialMeasureKey(key)).toEqual(turned);
    expect(() => parseTrialMeasureKey('{}')).toThrow();
  });

  it('is listed once for all terms that ask for it', () => {
    const ratio = demoTerm({ measure: { ...forwardTorque, of: 'ratio', per: 'length' } });
    expect(
      measuresOfSchemes([{ terms: [demoTerm(), ratio, propertyTerm('length'), nested('other')] }]),
    ).toEqual([trialMeasureKey(forwardTorque)]);
  });
});
