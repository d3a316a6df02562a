import { describe, expect, it } from 'vitest';
import type { Term, TermMeasure } from '../../../../shared-lib/standings/scheme-model.ts';
import {
  findingsOf,
  type SchemeWords,
  termWords,
  versionDifferences,
} from '../../../../shared-lib/standings/words/scheme-sentences.ts';
import {
  figureWords,
  measureWords,
  stepWords,
} from '../../../../shared-lib/standings/words/measure-words.ts';
import { quantityOf } from '../../../../renderer/standings/words/measure-quantity.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import { demoScheme, forward5, priceTerm, torqueTerm } from '../../../helpers/scripted-standings.ts';

const plain = (text: string): string => text.replaceAll('\u202f', ' ');
const measure = (of: TermMeasure) =>
  measureWords(
    of,
    (levelNm) => `${levelNm} N·m`,
    (id) => (id === 'a' ? 'A' : null),
  );
const words: SchemeWords = {
  value: (of, value) => quantityOf(of, { torque: torqueDisplay('Nm', null), currency: 'EUR' }).inWords(value),
  measure,
  contender: () => 'Hollin H5',
};
const inWords = (term: Term) => plain(termWords(term, words));

describe('a term in words', () => {
  it('says how a value becomes points, with factor, cap and what happens where it is missing', () => {
    expect(inWords(torqueTerm)).toBe('1 point for each 10 N·m; not ranked where missing');
    expect(inWords(priceTerm)).toBe(
      '50 points for the best, the others in proportion; less is better; times 2; at most 80 points; zero points where missing',
    );
    expect(
      inWords({
        ...torqueTerm,
        how: { way: 'shareOfReference', points: 100, reference: { is: 'contender', key: 'name:hollin h5' } },
        missing: 'leaveOut',
      }),
    ).toBe('100 points for what Hollin H5 has, the others in proportion; left out where missing');
    expect(
      inWords({
        ...torqueTerm,
        how: {
          way: 'steps',
          steps: [
            { from: 100, points: 1 },
            { from: 250.5, points: 2.5 },
          ],
        },
      }),
    ).toBe('1 point from 100 N·m, 2.5 points from 250.5 N·m; not ranked where missing');
  });
});

describe('a measure in words', () => {
  it('names figure, pull and what it is divided by', () => {
    expect(plain(measure(torqueTerm.measure))).toBe('Sustained torque, forward 5 s');
    const ratio = { of: 'ratio', step: forward5, measure: { figure: 'torqueAt', atS: 3 } } as const;
    expect(plain(measure({ ...ratio, per: 'massLoaded' }))).toBe(
      'Torque at 3 s, forward 5 s, per mass with its pack',
    );
    expect(plain(measure({ ...ratio, per: 'fasteningClaim' }))).toBe(
      'Torque at 3 s, forward 5 s, as a share of the fastening claim',
    );
    expect(measure({ of: 'scheme', schemeId: 'a' })).toBe('Total of “A”');
    expect(measure({ of: 'scheme', schemeId: 'b' })).toBe('Total of “a scheme that is not on the list”');
    expect(figureWords({ figure: 'timeToLevel', levelNm: 250 }, () => '250 N·m')).toBe('Time to 250 N·m');
    expect(plain(stepWords({ kind: 'breakaway', direction: 'reverse', plannedS: 2.5 }))).toBe(
      'break away reverse 2.5 s',
    );
  });
});

describe('what a version has other than the one before', () => {
  const differences = (change: Partial<typeof demoScheme>) =>
    versionDifferences(demoScheme, { ...demoScheme, ...change }, words).map(plain);

  it('is told term by term', () => {
    expect(differences({})).toEqual([]);
    expect(differences({ terms: [{ ...torqueTerm, factor: 3 }, priceTerm] })).toEqual([
      'Torque: 1 point for each 10 N·m; times 3; not ranked where missing. Before: 1 point for each 10 N·m; not ranked where missing.',
    ]);
    expect(differences({ terms: [torqueTerm] })).toEqual(['Removed: Price of the kit.']);
    expect(differences({ terms: [priceTerm, torqueTerm], isNormalised: true, name: 'Other' })).toEqual([
      'The terms stand in another order, which changes no points.',
      'The total is now divided by the sum of the factors.',
      'Renamed from “Torque and price (demo)”.',
    ]);
    const added = { ...torqueTerm, id: 'new', label: 'Reverse' };
    expect(differences({ terms: [torqueTerm, priceTerm, added] })).toEqual([
      'Added: Reverse (1 point for each 10 N·m; not ranked where missing).',
    ]);
    const other = { of: 'tool', property: 'length' } as const;
    expect(
      differences({ terms: [{ ...torqueTerm, label: 'Size', measure: other, better: 'less' }, priceTerm] }),
    ).toEqual([
      '“Torque” is now called “Size”.',
      'Size: measured is now Length, was Sustained torque, forward 5 s.',
      'Size: less is now better.',
      'Size: 1 point for each 10000 mm; not ranked where missing. Before: 1 point for each 10 N·m; not ranked where missing.'.replace(
        '10000',
        '10 000',
      ),
    ]);
  });
});

describe('findings', () => {
  it('stand beside their term, what stops first', () => {
    const findings = [
      { severity: 'note', termId: 'torque', sentence: 'a' },
      { severity: 'stop', termId: 'torque', sentence: 'b' },
      { severity: 'caution', termId: null, sentence: 'c' },
    ] as const;
    expect(findingsOf(findings, 'torque').map(({ sentence }) => sentence)).toEqual(['b', 'a']);
    expect(findingsOf(findings, null).map(({ sentence }) => sentence)).toEqual(['c']);
  });
});
