import { describe, expect, it } from 'vitest';
import {
  ringingRows,
  ringingSummary,
  shownUntilS,
} from '../../../../../renderer/calibrate/ringing/ringing-sentences.ts';
import { demoRinging } from '../../../../helpers/scripted-calibration.ts';

const plain = (text: string): string => text.replaceAll('\u202f', ' ');
const newtonMetres = (torqueNm: number): string => `${torqueNm.toFixed(0)} N·m`;

describe('what a tap shows', () => {
  it('is told in figures, with the samples that one swing gets', () => {
    const rows = ringingRows(demoRinging).map(({ name, value, note }) => [name, plain(value), plain(note)]);
    expect(rows[0]).toEqual(['Rings at', '82.0 Hz', expect.any(String)]);
    expect(rows[3]).toEqual(['Sample rate', '1000 Sa/s', '12.2 samples to one swing.']);
  });

  it('says what was not found instead of a number', () => {
    const dull = { ...demoRinging, frequencyHz: null, dampingRatio: null, decayS: null };
    expect(
      ringingRows(dull)
        .map(({ value }) => value)
        .slice(0, 3),
    ).toEqual(['not found', 'not found', 'not found']);
    expect(ringingSummary(dull, newtonMetres)).toContain('No frequency stands out.');
  });

  it('is drawn as long as it rings', () => {
    const timeS = Array.from({ length: 1000 }, (_, index) => index / 1000);
    expect(shownUntilS({ decayS: 0.007, timeS })).toBeCloseTo(0.14, 12);
    expect(shownUntilS({ decayS: 0.001, timeS })).toBe(0.1);
    expect(shownUntilS({ decayS: 0.3, timeS })).toBe(0.999);
    expect(shownUntilS({ decayS: null, timeS })).toBe(0.999);
  });

  it('is told as a sentence beside the picture', () => {
    expect(plain(ringingSummary(demoRinging, newtonMetres))).toMatch(
      /^The answer of the rig to one tap, the first 379 ms of it, up to 2\d N·m from rest\. It rings at 82\.0 Hz, damping ratio 0\.060\.$/,
    );
  });
});
