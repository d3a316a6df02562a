import { describe, expect, it } from 'vitest';
import type { Sensitivity } from '../../../../shared-lib/standings/standings-model.ts';
import {
  barsOf,
  MOST_TIMES,
  roomOf,
  scaleTicks,
  shareOfScale,
} from '../../../../renderer/standings/sensitivity/factor-scale.ts';
import {
  boundsWords,
  movesWords,
  orderSentence,
  sharesInOrder,
  shareWords,
} from '../../../../renderer/standings/sensitivity/sensitivity-sentences.ts';

const plain = (text: string): string => text.replaceAll('\u202f', ' ');
const term = (change: Partial<Sensitivity['terms'][number]> = {}): Sensitivity['terms'][number] => ({
  termId: 'torque',
  factor: 2,
  orderKeptFrom: 1.5,
  orderKeptTo: 5,
  leaderKeptFrom: 1,
  leaderKeptTo: null,
  without: [],
  doubled: [],
  ...change,
});

describe('the picture of a factor', () => {
  it('has what the factor is now in the middle, and as much room for halving as the half of it takes', () => {
    expect(scaleTicks.map(shareOfScale)).toEqual([
      0,
      0.25,
      0.5,
      expect.closeTo(0.651, 3),
      expect.closeTo(0.849, 3),
      1,
    ]);
    expect(shareOfScale(40)).toBe(1);
    expect(shareOfScale(-1)).toBe(0);
  });

  it('shows bounds as times of the factor, and an end without a bound as open', () => {
    const { order, leader } = barsOf(term());
    expect(order).toEqual({ from: 0.75, to: 2.5, isOpenBelow: false, isOpenAbove: false });
    expect(leader).toEqual({ from: 0.5, to: MOST_TIMES, isOpenBelow: false, isOpenAbove: true });
  });

  it('has no bar for a factor of zero, which has no times of itself', () => {
    expect(barsOf(term({ factor: 0 }))).toEqual({ order: null, leader: null });
  });

  it('puts the term first whose factor can move the least', () => {
    const open = term({ orderKeptFrom: null, orderKeptTo: null });
    expect(roomOf(term({ orderKeptTo: 2.1 }))).toBeLessThan(roomOf(term()));
    expect(roomOf(open)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('the same in words', () => {
  it('names both bounds, one, or none', () => {
    expect(boundsWords(1.5, 5)).toBe('for factors from 1.5 to 5');
    expect(boundsWords(null, 1.2345)).toBe('for factors up to 1.23');
    expect(boundsWords(0.5, null)).toBe('for factors from 0.5 up to ten times');
    expect(boundsWords(null, null)).toBe('for every factor from 0 to ten times');
    expect(orderSentence(term())).toBe('The order stays for factors from 1.5 to 5 (now 2).');
  });

  it('names who moves where', () => {
    const labelOf = (key: string) => key.toUpperCase();
    expect(movesWords([], labelOf)).toBe('the same order');
    expect(
      movesWords(
        [
          { key: 'a', place: 2 },
          { key: 'b', place: 1 },
        ],
        labelOf,
      ),
    ).toBe('A to place 2 and B to place 1');
  });

  it('does not round what is rare to nothing, nor what is not always so to always', () => {
    expect([0.624, 0.001, 0.999, 1].map(shareWords).map(plain)).toEqual([
      '62 %',
      'less than 1 %',
      'more than 99 %',
      '100 %',
    ]);
    expect(
      sharesInOrder([
        { key: 'a', share: 0.2 },
        { key: 'b', share: 0 },
        { key: 'c', share: 0.8 },
      ]),
    ).toEqual({
      first: [
        { key: 'c', share: 0.8 },
        { key: 'a', share: 0.2 },
      ],
      neverKeys: ['b'],
    });
  });
});
