import { describe, expect, it } from 'vitest';
import type { ClaimCheck } from '../../../../shared-lib/comparison/comparison-model.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import {
  importedSentence,
  isWorthImporting,
  LONGEST_CSV,
  previewSentence,
  readCsvBytes,
} from '../../../../renderer/tools/exchange/import-sentences.ts';
import {
  currencyProblem,
  newestRatesFirst,
  rateWords,
  readRateForm,
} from '../../../../renderer/tools/rates/rate-form.ts';
import {
  boundsWords,
  claimTitle,
  uncertaintyWords,
} from '../../../../renderer/tools/tool/claim-check-sentences.ts';
import { earlierRating, readRatingForm } from '../../../../renderer/tools/tool/rating-form.ts';
import { fittedSize, jpegQualities, LONGEST_SIDE_PX } from '../../../../renderer/tools/tool/scale-photo.ts';
import { demoRating } from '../../../helpers/scripted-catalogue.ts';

const plainSpaces = (text: string | null): string => (text ?? '').replaceAll(/\s/g, ' ');
const row = (outcome: 'new' | 'changed' | 'same' | 'refused') => ({
  line: 2,
  name: 'X',
  outcome,
  remarks: [],
});

describe('an import', () => {
  it('is offered only where nothing is refused and something would change', () => {
    expect(isWorthImporting({ rows: [row('new'), row('refused')], refusedCount: 1 })).toBe(false);
    expect(isWorthImporting({ rows: [row('same')], refusedCount: 0 })).toBe(false);
    expect(isWorthImporting({ rows: [row('same'), row('changed')], refusedCount: 0 })).toBe(true);
  });

  it('says what it would do, or what stands in its way', () => {
    expect(previewSentence({ rows: [row('new'), row('refused')], refusedCount: 1 })).toMatch(
      /^1 line is refused, so nothing is imported: put it right/,
    );
    expect(previewSentence({ rows: [row('new'), row('new'), row('same')], refusedCount: 0 })).toBe(
      '3 lines: 2 new, 1 as it is. Nothing has been changed yet.',
    );
    expect(previewSentence({ rows: [row('same')], refusedCount: 0 })).toMatch(/nothing to import/);
    expect(previewSentence({ rows: [], refusedCount: 0 })).toMatch(/no line with a tool/);
    expect(importedSentence({ newCount: 1, changedCount: 2 })).toMatch(/^Imported: 1 new tool, 2 changed\./);
  });

  it('refuses a file whose letters it would have to guess, and one that is no catalogue for its length', () => {
    expect(readCsvBytes(new TextEncoder().encode('name\r\nHollin'))).toEqual({ text: 'name\r\nHollin' });
    expect(readCsvBytes(Uint8Array.of(0x48, 0xf6, 0x68))).toHaveProperty('problem');
    expect(readCsvBytes(new Uint8Array(LONGEST_CSV + 1).fill(65))).toHaveProperty('problem');
  });
});

describe('an exchange rate', () => {
  const form = { currency: 'usd', inCurrency: 'EUR', rate: '0,92', on: '2026-03-01', source: 'bank' };

  it('takes small letters and a comma', () => {
    expect(readRateForm(form)).toEqual({
      value: { currency: 'USD', inCurrency: 'EUR', rate: 0.92, on: '2026-03-01', source: 'bank' },
    });
  });

  it('needs two different currencies, a rate above zero, a day and a source', () => {
    expect(readRateForm({ ...form, currency: 'eur' })).toEqual({ missing: ['two different currencies'] });
    expect(readRateForm({ ...form, rate: '0', on: '', source: '', inCurrency: '€' })).toEqual({
      missing: ['the rate', 'the currency it is worth', 'the day', 'the source'],
    });
    expect(currencyProblem('')).toBeNull();
    expect(currencyProblem('eu')).not.toBeNull();
  });

  it('is shown with every digit that was entered, the newest first', () => {
    const rate = { currency: 'USD', inCurrency: 'EUR', rate: 0.000123, on: '2026-03-01', source: 'bank' };
    expect(plainSpaces(rateWords(rate))).toBe('1 USD = 0.000123 EUR');
    expect(plainSpaces(rateWords({ ...rate, rate: 1e-7 }))).toBe('1 USD = 0.0000001 EUR');
    const others = [
      { ...rate, rate: 1 },
      { ...rate, on: '2026-04-01', rate: 2 },
      { ...rate, rate: 3 },
    ];
    expect(newestRatesFirst(others).map((known) => known.rate)).toEqual([2, 3, 1]);
  });
});

describe('a rating at the desk', () => {
  it('needs a rater and a number, and is not blind unless it is said to be', () => {
    const form = { rater: ' A ', score: '7.5', isBlind: false, note: '' };
    expect(readRatingForm(form, 't')).toEqual({
      value: { toolId: 't', rater: 'A', score: 7.5, isBlind: false, note: '' },
    });
    expect(readRatingForm({ ...form, rater: '', score: null }, 't')).toEqual({
      missing: ['who rates', 'the rating'],
    });
  });

  it('replaces the earlier one of the same rater, however the name is written', () => {
    const ratings = [demoRating('t', 'Demo A', 6)];
    expect(earlierRating(ratings, ' demo a')).toBe(ratings[0]);
    expect(earlierRating(ratings, 'Demo B')).toBeNull();
  });
});

describe('a photo', () => {
  it('is scaled down to its longest side, never up', () => {
    expect(fittedSize({ width: 4000, height: 3000 })).toEqual({ width: LONGEST_SIDE_PX, height: 960 });
    expect(fittedSize({ width: 300, height: 8000 })).toEqual({ width: 48, height: LONGEST_SIDE_PX });
    expect(fittedSize({ width: 640, height: 480 })).toEqual({ width: 640, height: 480 });
    expect(fittedSize({ width: 20_000, height: 1 })).toEqual({ width: LONGEST_SIDE_PX, height: 1 });
    expect(jpegQualities).toEqual(jpegQualities.toSorted((a, b) => b - a));
  });
});

describe('a checked claim', () => {
  const check: ClaimCheck = {
    claimId: 'c',
    kind: 'fastening',
    claimedNm: 600,
    source: 'box',
    statedOn: null,
    contender: null,
    step: null,
    verdict: 'notReached',
    count: 3,
    meanNm: 512.4,
    scatterNm: 4.4,
    calibrationNm: 1.2,
    degreesOfFreedom: 4,
    lowerBoundNm: 503.1,
    upperBoundNm: 521.7,
    sentence: '',
    cautions: [],
    trialIds: [],
  };
  const display = torqueDisplay('Nm', null);

  it('says bounds and what went in, and no bounds where there are none', () => {
    expect(claimTitle(check, (torqueNm) => `${torqueNm} N·m`)).toBe('Fastening, 600 N·m, box');
    expect(plainSpaces(boundsWords(check, display))).toBe(
      'Bounds 503 N·m and 522 N·m, 95 % each on its side.',
    );
    expect(plainSpaces(uncertaintyWords(check, display))).toBe(
      'Standard uncertainties: scatter of the runs 4 N·m, calibration 1 N·m.',
    );
    expect(boundsWords({ ...check, lowerBoundNm: null }, display)).toBeNull();
    expect(uncertaintyWords({ ...check, scatterNm: null, calibrationNm: null }, display)).toBeNull();
  });
});
