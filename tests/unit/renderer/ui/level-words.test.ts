import { describe, expect, it } from 'vitest';
import { areRoundIn, usualLevelsNm } from '../../../../renderer/setup/level-list.ts';
import { levelWords } from '../../../../shared-lib/level-words.ts';

const plain = (text: string) => text.replaceAll('\u202f', ' ');

describe('a level in words', () => {
  it('is a figure of its own unit', () => {
    expect(plain(levelWords(100, 'Nm'))).toBe('100 N·m');
    // 1 ft·lbf = 1.3558179483314004 N·m (from the definitions of foot, pound and standard gravity).
    expect(plain(levelWords(75 * 1.3558179483314004, 'ftLbf'))).toBe('75 ft·lbf');
    expect(plain(levelWords(62.5, 'Nm'))).toBe('62.5 N·m');
  });

  it('says in the other unit what it really is, where it is round there only', () => {
    expect(plain(levelWords(100, 'ftLbf'))).toBe('73.8 ft·lbf (100 N·m)');
    expect(plain(levelWords(75 * 1.3558179483314004, 'Nm'))).toBe('101.7 N·m (75 ft·lbf)');
  });

  it('has one decimal where it is round in neither', () => {
    expect(plain(levelWords(123.456, 'Nm'))).toBe('123.5 N·m');
  });

  it('usual levels are round in their own unit and only there', () => {
    for (const [unit, other] of [
      ['Nm', 'ftLbf'],
      ['ftLbf', 'Nm'],
    ] as const) {
      expect(areRoundIn(usualLevelsNm[unit], unit)).toBe(true);
      expect(areRoundIn(usualLevelsNm[unit], other)).toBe(false);
    }
  });
});
