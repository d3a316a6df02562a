import { describe, expect, it } from 'vitest';
import {
  percentColumn,
  percentWords,
  resultTorque,
  twoDigitDecimals,
} from '../../../../../shared-lib/calibration/words/result-figures.ts';
import {
  classWords,
  degreeWords,
  lowerLimitWords,
  rankFindings,
  residualSummary,
  shareSummary,
  uncertaintySummary,
} from '../../../../../shared-lib/calibration/words/result-sentences.ts';
import { sampleSense } from './sample-result.ts';

const sense = sampleSense();
const torque = resultTorque(sense, 'Nm');
const plain = (text: string) => text.replaceAll('\u202f', ' ');

describe('figures of a result', () => {
  it('give an uncertainty two significant digits (GUM 7.2.6)', () => {
    expect(plain(percentWords(0.1234))).toBe('0.12 %');
    expect(plain(percentWords(1.26))).toBe('1.3 %');
    expect(plain(percentWords(-0.0123))).toBe('−0.012 %');
    expect(percentWords(null)).toBe('–');
  });

  it('keep the decimals of a column together, and a value near nothing does not stretch it', () => {
    const column = percentColumn([0.12, 0.034, 1e-9, null]);
    expect([0.12, 0.034, 1e-9].map(column)).toEqual(['0.1200', '0.0340', '0.0000']);
    expect(column(null)).toBe('–');
  });

  it('need no decimals where nothing tells them', () => {
    expect(twoDigitDecimals([null, 0])).toBe(0);
  });

  it('end the torque where a tenth of its smallest uncertainty begins', () => {
    // The smallest expanded uncertainty is 0.2 N·m, a tenth of it 0.02.
    expect(plain(torque.format(100))).toBe('100.00 N·m');
    expect(plain(resultTorque(sense, 'ftLbf').format(135.58179483314))).toBe('100.00 ft·lbf');
  });
});

describe('sentences of a result', () => {
  it('name the fit', () => {
    expect(degreeWords({ degree: 1, hasConstant: false })).toBe('Straight line, through the zero');
    expect(degreeWords({ degree: 3, hasConstant: true })).toBe('Third degree, with a constant');
  });

  it('name the class with the torque that it begins at, or say that there is none', () => {
    expect(plain(classWords(sense, torque))).toBe('Class 0.5 from 100.00 N·m up');
    const none = sampleSense({ classification: { ...sense.classification, reached: null, fromNm: null } });
    expect(classWords(none, torque)).toBe('No class');
  });

  it('name the lower limits that were reached', () => {
    expect(lowerLimitWords(sense, torque)).toBe('No lower limit');
    const reached = sampleSense({
      lowerLimit: { ...sense.lowerLimit, lowerLimitFactorNm: 0.1, classANm: 40, classAANm: 200 },
    });
    expect(plain(lowerLimitWords(reached, torque))).toBe('class AA from 200.00 N·m, class A from 40.00 N·m');
  });

  it('say over which range the uncertainty goes, for both times', () => {
    expect(plain(uncertaintySummary(sense, 'calibration', torque))).toBe(
      'From ±0.20 % at 100.00 N·m to ±0.20 % at 400.00 N·m on the day of the calibration, coverage 95 %.',
    );
    expect(uncertaintySummary(sense, 'bench', torque)).toContain('at bench time');
  });

  it('say what limits most', () => {
    expect(plain(shareSummary(sense, 'calibration', torque))).toBe(
      'At 400.00 N·m most of u² on the day of the calibration comes from repeatability (64 %), then arm length (36 %).',
    );
  });

  it('name the rising reading that lies farthest from the fit', () => {
    const point = { index: 1, level: 1, series: 1, deflectionCounts: 1, torqueNm: 100 };
    const points = [
      { ...point, isIncreasing: true, residualPercent: 0.01 },
      { ...point, torqueNm: 200, isIncreasing: true, residualPercent: -0.03 },
      { ...point, torqueNm: 100, isIncreasing: false, residualPercent: 0.5 },
    ];
    expect(plain(residualSummary(points, torque))).toBe(
      '3 loaded readings. The rising reading farthest from the fit lies −0.030 % from it, at 200.00 N·m.',
    );
    expect(residualSummary([], torque)).toBe('No loaded reading yet.');
  });

  it('puts first what forbids a calibration', () => {
    const finding = (severity: 'stop' | 'look' | 'note') => ({
      code: severity,
      severity,
      sense: null,
      sentence: 'x',
    });
    expect(
      rankFindings([finding('note'), finding('stop'), finding('look')]).map(({ severity }) => severity),
    ).toEqual(['stop', 'look', 'note']);
  });
});
