import { describe, expect, it } from 'vitest';
import { type CueName, cuePatterns, type Tone } from '../../../../renderer/sound/cue-patterns.ts';

const names = Object.keys(cuePatterns) as CueName[];

/** What an ear tells apart: how many tones, which way they go, how high, how long in all. */
function characterOf(tones: readonly Tone[]): string {
  const pitches = tones.map(({ frequencyHz }) => frequencyHz);
  const lengthS = Math.max(...tones.map(({ atS, durationS }) => atS + durationS));
  return `${tones.length} tones, ${pitches.join('-')} Hz, ${lengthS.toFixed(1)} s`;
}

describe('cuePatterns', () => {
  it('stays between 0.5 and 2 kHz', () => {
    for (const { frequencyHz } of names.flatMap((name) => cuePatterns[name])) {
      expect(frequencyHz).toBeGreaterThanOrEqual(500);
      expect(frequencyHz).toBeLessThanOrEqual(2000);
    }
  });

  it('gives each cue a pitch and a rhythm of its own', () => {
    expect(new Set(names.map((name) => characterOf(cuePatterns[name]))).size).toBe(names.length);
  });

  it('begins at once, so that sound and screen change together', () => {
    for (const name of names) expect(cuePatterns[name][0]?.atS).toBe(0);
  });

  it('ends before the next count of a countdown', () => {
    for (const { atS, durationS } of names.flatMap((name) => cuePatterns[name])) {
      expect(atS + durationS).toBeLessThan(1);
    }
  });
});
