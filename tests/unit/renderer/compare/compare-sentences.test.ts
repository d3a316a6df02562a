import { describe, expect, it } from 'vitest';
import { verdictSchema } from '../../../../shared-lib/comparison/comparison-model.ts';
import {
  axisEnds,
  checkpointWords,
  differenceWords,
  intervalSummary,
  leadSentence,
  ratioWords,
  runStateWords,
  sideNames,
  sideWords,
  splitAnswer,
  stepName,
  verdictWords,
  withShortNames,
} from '../../../../shared-lib/comparison/words/compare-sentences.ts';
import { endLabel } from '../../../../renderer/compare/curves/curve-sentences.ts';
import { detailRows } from '../../../../shared-lib/comparison/words/detail-rows.ts';
import { measureDisplay } from '../../../../shared-lib/comparison/words/measure-choices.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import { readyStatus } from '../../../helpers/scripted-bench.ts';
import { comparison, hollin, reverse10, side, tarnwick, trial } from './compare-samples.ts';

const names = { a: 'Hollin H5', b: 'Tarnwick T6' };
const thin = (text: string): string => text.replaceAll('\u202f', ' ');

describe('the words of a verdict', () => {
  it('have a word and a shape of their own for each', () => {
    const all = [...verdictSchema.values].map((verdict) => verdictWords(verdict, 5));
    expect(new Set(all.map(({ word }) => word)).size).toBe(7);
    expect(new Set(all.map(({ shape }) => shape)).size).toBe(7);
    expect(thin(verdictWords('behindByMargin', 2.5).word)).toBe('B ahead by at least 2.5 %');
  });

  it('call two by what tells them apart, and never alike', () => {
    expect(sideNames(hollin, { ...tarnwick, label: 'Tarnwick T6, pack 2' })).toEqual(names);
    expect(sideNames(hollin, tarnwick)).toEqual({ a: 'Hollin H5, pack 2', b: 'Tarnwick T6, pack 1' });
    expect(sideNames(hollin, { ...hollin, label: 'Hollin H5, pack 3' })).toEqual({
      a: 'Hollin H5, pack 2',
      b: 'Hollin H5, pack 3',
    });
    expect(sideNames(hollin, hollin)).toEqual({ a: 'Hollin H5 (A)', b: 'Hollin H5 (B)' });
    expect(endLabel('b', names)).toBe('B Tarnwick T6');
  });

  it('put the short names into the sentence, also where one label begins with the other', () => {
    const plain = { ...hollin, label: 'Hollin H5' };
    const sentence = 'Hollin H5, pack 2 is ahead of Hollin H5.';
    expect(withShortNames(sentence, { a: plain, b: hollin }, { a: 'first', b: 'second' })).toBe(
      'second is ahead of first.',
    );
  });

  it('say a ratio as more or less than the other, and a difference in the chosen unit', () => {
    expect(thin(ratioWords({ ratio: 1.042, low: 0.988, high: 1.1 }))).toBe('+4.2 % (−1.2 % to +10.0 %)');
    expect(thin(ratioWords({ ratio: 1.0001, low: 0.9999, high: 1.0004 }))).toBe('0.0 % (0.0 % to 0.0 %)');
    const display = measureDisplay({ figure: 'sustainedTorque' }, torqueDisplay('ftLbf', readyStatus));
    expect(thin(differenceWords({ value: 10, low: -5, high: 25 }, display))).toBe(
      '+7.4 ft·lbf (−3.7 to +18.4)',
    );
  });

  it('tell how many runs speak for a side, and which have no value', () => {
    expect(sideWords(side(hollin, 560))).toBe('3 runs, 3 of 5 planned rounds done');
    expect(
      sideWords(side(hollin, 560, { count: 1, plannedRounds: null, noValueCount: 2, sessionCount: 2 })),
    ).toBe('1 run, 2 sessions, 2 without a value');
    expect(thin(stepName(reverse10))).toBe('Tighten, reverse, 10 s');
  });
});

describe('the sentence of the verdict', () => {
  it('is shown large up to its first full stop, and nothing of it gets lost', () => {
    const sentence = 'A is ahead by 4.5 % (95 %: 1.2 to 7.8 %). A: 500 N·m; B: 478 N·m. Not like for like.';
    const { answer, rest } = splitAnswer(sentence);
    expect(answer).toBe('A is ahead by 4.5 % (95 %: 1.2 to 7.8 %).');
    expect(`${answer} ${rest}`).toBe(sentence);
    expect(splitAnswer('Needs more runs.')).toEqual({ answer: 'Needs more runs.', rest: '' });
  });
});

describe('pictures in words', () => {
  it('say the interval, what decides on level, and the margin', () => {
    expect(thin(intervalSummary(comparison(), names))).toBe(
      'Hollin H5 against Tarnwick T6: +12.0 %, 95 % interval +8.0 % to +16.0 %; more is better. The thick bar, which decides on “level”, reaches from +9.0 % to +15.0 %. The margin reaches from −4.8 % to +5.0 %.',
    );
    expect(intervalSummary(comparison({ ratio: null }), names)).toContain('no interval yet');
  });

  it('name the end of the axis that is good for each, which turns where less is better', () => {
    expect(axisEnds('more', names).more).toBe('Hollin H5 ahead →');
    expect(axisEnds('less', names)).toEqual({
      less: '← Hollin H5 ahead (sooner)',
      more: 'Tarnwick T6 ahead (sooner) →',
    });
  });

  it('say where a lead begins and whose it is, or that there is none', () => {
    expect(thin(leadSentence(comparison(), names))).toBe('Hollin H5 leads clearly from 2 s after onset on.');
    expect(leadSentence(comparison({ leadStartsAtS: null }), names)).toContain('At no instant');
    expect(leadSentence(comparison({ checkpoints: [] }), names)).toBe('Every run from its onset on.');
    const unmeasured = [{ atS: 1, ratio: null, isClear: false }];
    expect(leadSentence(comparison({ checkpoints: unmeasured }), names)).toContain('No instant');
    const [open, clear, none] = comparison().checkpoints;
    expect([open!, clear!, none!].map((one) => checkpointWords(one, names))).toEqual([
      'not told apart',
      'Hollin H5 ahead',
      'too few runs have a torque there',
    ]);
  });

  it('tell of a run whether it counts, and why not', () => {
    expect(runStateWords(trial(hollin, 1, 500))).toBe('counts');
    expect(runStateWords(trial(hollin, 1, null))).toContain('no value');
    expect(runStateWords(trial(hollin, 1, null, { leftOutBecause: 'voided' }))).toBe('left out: voided');
  });
});

describe('what a verdict rests on', () => {
  const row = (name: RegExp, changes = {}) =>
    detailRows(comparison(changes), names).find((one) => name.test(one.name));

  it('is told with its degrees of freedom and where it comes from', () => {
    expect(row(/^Scatter of one pull/)).toMatchObject({
      value: '1.52\u202f%',
      note: 'From the residuals of 3 complete rounds of 3 setups.',
    });
    expect(row(/^Standard error/)?.note).toBe('4.0 degrees of freedom');
    expect(row(/^Rounds that would decide/)?.value).toBe('4');
    expect(row(/^From round to round/)?.note).toContain('do not differ clearly');
  });

  it('names the interval of the two one-sided tests by its own confidence', () => {
    expect(row(/interval, for “level”/)?.name).toMatch(/^90/);
    expect(row(/interval, for “level”/, { confidence: 0.975 })?.name).toMatch(/^95/);
  });

  it('says what is missing instead of a figure that looks computed', () => {
    expect(row(/^Effect size/)).toEqual({
      name: 'Effect size, Hedges’ g',
      value: '–',
      note: 'With five runs each or more.',
    });
    expect(row(/^Permutation/)?.value).toBe('–');
    expect(
      row(/^Scatter of one pull/, { scatter: { ...comparison().scatter, standardDeviation: null } })?.value,
    ).toBe('–');
  });
});
