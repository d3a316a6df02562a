import { describe, expect, it } from 'vitest';
import type { FieldPlace, Reach } from '../../../../shared-lib/comparison/comparison-model.ts';
import { notSeparatedWords, placeRangeWords } from '../../../../renderer/compare/field/field-sentences.ts';
import { marginSentence, nextMarginPercent } from '../../../../renderer/compare/margin/margin-sentences.ts';
import {
  contenderOptions,
  firstSessions,
  presenceWords,
  sessionWords,
  stepsSentence,
  withSession,
} from '../../../../renderer/compare/picker-options.ts';
import {
  meanTimeLine,
  ratioStretches,
  reachSummary,
} from '../../../../renderer/compare/reach/reach-lines.ts';
import {
  leftOutReasons,
  ownerOf,
  runPoints,
  sessionBreaks,
} from '../../../../shared-lib/comparison/words/run-points.ts';
import { runsSummary } from '../../../../shared-lib/comparison/words/run-sentences.ts';
import {
  brindlow,
  forward5,
  hollin,
  listed,
  listing,
  reverse10,
  side,
  tarnwick,
  trial,
} from './compare-samples.ts';

const names = { a: 'Hollin H5', b: 'Tarnwick T6' };
const thin = (text: string): string => text.replaceAll('\u202f', ' ');

describe('runs in time order', () => {
  const reference = { ...brindlow, key: 'setup:reference' };
  const of = {
    a: side(hollin, 560),
    b: side(tarnwick, 500),
    trials: [
      trial(hollin, 5, 560),
      trial(tarnwick, 3, 500),
      trial(brindlow, 4, 300),
      trial(reference, 1, 200, { isReference: true }),
      trial(hollin, 2, null, { leftOutBecause: 'voided', sessionId: 's2' }),
    ],
  };

  it('stand as they were pulled, left-out ones among them, other setups only where asked for', () => {
    const shown = runPoints(of, false);
    expect(shown.map(({ owner, isLeftOut, place }) => [place, owner, isLeftOut])).toEqual([
      [1, 'reference', false],
      [2, 'a', true],
      [3, 'b', false],
      [4, 'a', false],
    ]);
    expect(runPoints(of, true)).toHaveLength(5);
    expect(sessionBreaks(shown)).toEqual([1, 2]);
  });

  it('are reference pulls also where A is the reference tool itself, since they do not count for it', () => {
    expect(ownerOf(trial(hollin, 1, 500, { isReference: true }), of)).toBe('reference');
  });

  it('are told in words with the reasons of those that are left out', () => {
    expect(runsSummary(runPoints(of, false), names)).toBe(
      '4 runs in the order in which they were pulled: 2 of Hollin H5, 1 of Tarnwick T6, 1 reference pull. Left out: 1 voided.',
    );
    expect(runsSummary(runPoints({ ...of, trials: of.trials.slice(0, 2) }, false), names)).toContain(
      'None of them is left out.',
    );
    expect(leftOutReasons(runPoints(of, true))).toEqual([{ reason: 'voided', count: 1 }]);
  });
});

describe('who reaches a torque first', () => {
  const level = (levelNm: number, ratio: Reach['levels'][number]['ratio']): Reach['levels'][number] => ({
    levelNm,
    aReached: 3,
    bReached: ratio === null ? 1 : 3,
    aMeanS: levelNm / 200,
    bMeanS: ratio === null ? null : levelNm / 180,
    ratio,
    first: ratio !== null && ratio.high < 1 ? 'a' : null,
  });
  const reach: Reach = {
    levels: [
      level(100, { ratio: 0.9, low: 0.85, high: 0.95 }),
      level(200, { ratio: 0.95, low: 0.9, high: 1.01 }),
      level(300, null),
      level(400, { ratio: 0.9, low: 0.8, high: 0.99 }),
    ],
    aCount: 3,
    bCount: 1,
    sentences: [],
  };
  const inNm = (torqueNm: number) => torqueNm;

  it('is a line of mean times that breaks where too few reached it', () => {
    expect(meanTimeLine(reach, 'a', inNm).map(({ y }) => y)).toEqual([0.5, 1, 1.5, 2]);
    expect(meanTimeLine(reach, 'b', (torqueNm) => torqueNm / 2)[2]).toEqual({ x: 150, y: Number.NaN });
  });

  it('is a band of the ratio in percent, in stretches', () => {
    const stretches = ratioStretches(reach, inNm);
    expect(stretches.map((points) => points.map(({ x }) => x))).toEqual([[100, 200], [400]]);
    expect(stretches[0]?.[0]?.y).toBeCloseTo(-10);
    expect(stretches[0]?.[0]?.lower).toBeCloseTo(-15);
  });

  it('is told in words, and so is that there is nothing to ask about', () => {
    expect(reachSummary(reach, names, (torqueNm) => `${torqueNm} N·m`)).toBe(
      '4 torques from 100 N·m to 400 N·m, 3 runs of Hollin H5 and 1 run of Tarnwick T6: 2 have a clear answer.',
    );
    expect(reachSummary({ ...reach, levels: [] }, names, String)).toContain('no torque');
  });
});

describe('places in the field', () => {
  const place = (changes: Partial<FieldPlace>): FieldPlace => ({
    contender: hollin,
    count: 3,
    mean: 500,
    place: 1,
    bestPlace: 1,
    worstPlace: 1,
    notSeparatedFrom: [],
    ...changes,
  });
  const second = place({ contender: tarnwick, place: 2 });

  it('are a range where neighbours are not told apart, and not known without a scatter', () => {
    expect(placeRangeWords(place({}))).toBe('1');
    expect(placeRangeWords(place({ worstPlace: 3 }))).toBe('1 to 3');
    expect(placeRangeWords(place({ bestPlace: null, worstPlace: null }))).toBe('not known');
  });

  it('name whom one is not told apart from', () => {
    const first = place({ notSeparatedFrom: [tarnwick.key] });
    expect(notSeparatedWords(first, [first, second])).toBe('Tarnwick T6');
    const third = place({ contender: { ...tarnwick, key: 'setup:other', label: 'Tarnwick T6, pack 3' } });
    expect(notSeparatedWords(first, [first, second, third])).toBe('Tarnwick T6, pack 1');
    expect(notSeparatedWords(place({}), [second])).toBe('nobody');
    expect(notSeparatedWords(place({ bestPlace: null }), [second])).toBe('not known');
  });
});

describe('the margin', () => {
  const one = { figure: 'sustainedTorque', marginPercent: 3, operator: 'Demo operator', at: '2026-03-05' };
  const margins = { defaultPercent: 5, margins: [one, { ...one, marginPercent: 8 }] };

  it('of the next session is the newest that was chosen for the figure', () => {
    expect(nextMarginPercent(margins, 'sustainedTorque')).toBe(3);
    expect(nextMarginPercent(margins, 'finalTorque')).toBe(5);
  });

  it('is told as what this comparison has and what later ones will have', () => {
    const words = (figure: string, used: number) =>
      thin(marginSentence(margins, figure, used, (at) => `on ${at}`));
    expect(words('sustainedTorque', 5)).toBe(
      'This comparison rests on ±5 %, which stood before its earliest session began. Sessions that begin from now on take ±3 %, chosen on 2026-03-05 by Demo operator.',
    );
    expect(words('sustainedTorque', 3)).toContain('Chosen on 2026-03-05 by Demo operator.');
    expect(words('finalTorque', 5)).toContain('Nobody has chosen another.');
  });
});

describe('what stands in the pickers', () => {
  it('says of everybody what they have of the step', () => {
    const options = contenderOptions(
      [
        listed(hollin, [{ step: forward5, sessionIds: ['s1'] }]),
        listed({ ...tarnwick, isSimulated: false }, []),
      ],
      forward5,
    );
    expect(options.map(({ note }) => note)).toEqual([
      'simulated, 3 kept by this step',
      'none kept by this step',
    ]);
  });

  it('says what somebody has at all', () => {
    const all = listed(hollin, [
      { step: forward5, sessionIds: ['s1'] },
      { step: reverse10, sessionIds: ['s1'], keptCount: 0 },
    ]);
    expect(thin(stepsSentence(all))).toBe('Hollin H5, pack 2: tighten, forward, 5 s (3 kept).');
    expect(stepsSentence(listed(hollin, []))).toBe('Hollin H5, pack 2: no trial kept yet.');
  });

  it('begins choosing with the newest session of both, else with the newest of each', () => {
    const [s3, s2, s1] = listing([]).sessions.map((session) => ({ session, hasA: true, hasB: false }));
    expect(firstSessions([s3!, { ...s2!, hasB: true }, s1!])).toEqual(['s2']);
    expect(firstSessions([s3!, s2!, { ...s1!, hasA: false, hasB: true }])).toEqual(['s3', 's1']);
  });

  it('takes sessions in and out, and is automatic again without any', () => {
    expect(withSession(['s1'], 's2', true)).toEqual(['s1', 's2']);
    expect(withSession(['s1', 's2'], 's1', false)).toEqual(['s2']);
    expect(withSession(['s1'], 's1', false)).toBeNull();
    const [newest, , oldest] = listing([]).sessions;
    expect(sessionWords(newest!, (at) => at.slice(0, 10))).toBe('2026-03-03, Demo operator');
    expect(sessionWords(oldest!, (at) => at.slice(0, 10))).toBe('2026-03-01');
    expect([presenceWords({ hasA: true, hasB: true }), presenceWords({ hasA: false, hasB: true })]).toEqual([
      'A and B',
      'only B',
    ]);
  });
});
