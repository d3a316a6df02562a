import { describe, expect, it } from 'vitest';
import type { TrialCurve } from '../../../../shared-lib/api-contract.ts';
import { THIN_SPACE } from '../../../../shared-lib/format-quantity.ts';
import {
  type CurveCursor,
  moveCursor,
  noCursor,
  selectedWindow,
} from '../../../../renderer/logbook/curve/curve-cursor.ts';
import { formatInstant, readCurve, readingWords } from '../../../../renderer/logbook/curve/read-curve.ts';
import { windowCells } from '../../../../renderer/logbook/curve/window-cells.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';

const plain = (text: string) => text.replaceAll(THIN_SPACE, ' ');
const torque = torqueDisplay('Nm', null);
const whole = { fromS: -1, toS: 6 };
const press = (cursor: CurveCursor, ...keys: string[]): CurveCursor =>
  keys.reduce((now, key) => {
    const shiftKey = key.startsWith('Shift+');
    const next = moveCursor(now, { key: key.replace('Shift+', ''), shiftKey }, whole, 0.01);
    if (next === null) throw new Error(`${key} moved nothing.`);
    return next;
  }, cursor);

describe('cursor on a curve', () => {
  it('begins at onset and goes by the smallest step that the picture shows', () => {
    expect(press(noCursor, 'ArrowRight', 'ArrowRight', 'ArrowLeft').cursorS).toBeCloseTo(0.01, 12);
  });

  it('begins where the picture does if onset is not in sight', () => {
    const seen = { fromS: 2, toS: 3 };
    expect(moveCursor(noCursor, { key: 'ArrowRight', shiftKey: false }, seen, 0.01)?.cursorS).toBeCloseTo(
      2.01,
      12,
    );
  });

  it('stays in the picture', () => {
    expect(press(noCursor, 'End', 'ArrowRight').cursorS).toBe(6);
    expect(press(noCursor, 'Home', 'PageUp').cursorS).toBe(-1);
  });

  it('goes a twentieth of the picture by a page', () => {
    expect(press(noCursor, 'PageDown').cursorS).toBeCloseTo(0.35, 12);
  });

  it('selects with Shift from where it stood, in either direction', () => {
    const selected = press(noCursor, 'PageDown', 'Shift+Home');
    expect(selectedWindow(selected)).toEqual({ fromS: -1, toS: expect.closeTo(0.35, 12) });
    expect(selectedWindow(press(selected, 'ArrowRight'))).toBeNull();
  });

  it('lets go of the selection first, then of itself', () => {
    const selected = press(noCursor, 'Shift+PageDown');
    const one = press(selected, 'Escape');
    expect(selectedWindow(one)).toBeNull();
    expect(one.cursorS).not.toBeNull();
    expect(press(one, 'Escape')).toEqual(noCursor);
  });

  it('leaves keys to others that are none of its own', () => {
    expect(moveCursor(noCursor, { key: 'u', shiftKey: false }, whole, 0.01)).toBeNull();
    expect(moveCursor(noCursor, { key: 'Escape', shiftKey: false }, whole, 0.01)).toBeNull();
  });
});

/** Ten samples a second from -0.2 s on, two to a bin; the measuring curve is 100 t, with one value missing at 0.3 s. */
const curve: TrialCurve = {
  trialId: 'demo-1',
  sampleRateHz: 10,
  startS: -0.2,
  endS: 0.6,
  binStartS: -0.2,
  binWidthS: 0.2,
  minNm: Float64Array.of(-1, 0, 15, Number.NaN),
  maxNm: Float64Array.of(1, 12, 25, Number.NaN),
  displayNm: new Float64Array(),
  displayTimeS: new Float64Array(),
  measuringTimeS: Float64Array.of(0, 0.1, 0.2, 0.3, 0.4, 0.5),
  measuringNm: Float64Array.of(0, 10, 20, Number.NaN, 40, 50),
};

describe('read-out of a curve', () => {
  it('lies on the straight line between two values of the measuring curve', () => {
    expect(readCurve(curve, 0.15).measuringNm).toBeCloseTo(15, 12);
    expect(readCurve(curve, 0.4).measuringNm).toBe(40);
  });

  it('says nothing where the measuring curve has a gap or has not begun', () => {
    expect(readCurve(curve, 0.25).measuringNm).toBeNull();
    expect(readCurve(curve, 0.3).measuringNm).toBeNull();
    expect(readCurve(curve, -0.1).measuringNm).toBeNull();
    expect(readCurve(curve, 0.55).measuringNm).toBeNull();
  });

  it('takes the bin whose samples are nearest', () => {
    // Samples at 0 and 0.1 s are one bin; halfway to the next sample the next bin begins.
    expect(readCurve(curve, 0.14).raw).toEqual({ leastNm: 0, greatestNm: 12 });
    expect(readCurve(curve, 0.16).raw).toEqual({ leastNm: 15, greatestNm: 25 });
    expect(readCurve(curve, 0.45).raw).toBeNull();
    expect(readCurve(curve, 9).raw).toBeNull();
  });

  it('tells time as finely as the picture does', () => {
    expect(plain(formatInstant(1.23456, 0.005))).toBe('1.235 s');
    expect(plain(formatInstant(1.23456, 0.2))).toBe('1.23 s');
  });

  it('names one raw sample once, and a bin by its ends', () => {
    const reading = { timeS: 0.1, measuringNm: 10, raw: { leastNm: 0, greatestNm: 12 } };
    expect(plain(readingWords(reading, 0.2, torque).raw)).toBe('0 to 12 N·m');
    const one = { ...reading, raw: { leastNm: 12, greatestNm: 12 } };
    expect(plain(readingWords(one, 0.2, torque).raw)).toBe('12 N·m');
  });

  it('gives no torque away before the trial is kept', () => {
    const reading = { timeS: 0.1, measuringNm: 10, raw: { leastNm: 0, greatestNm: 12 } };
    const { time, ...rest } = readingWords(reading, 0.2, null);
    expect(plain(time)).toBe('0.10 s');
    expect(Object.values(rest).join(' ')).not.toMatch(/\d/);
  });
});

describe('figures of a window', () => {
  const figures = {
    fromS: 1,
    toS: 2,
    sampleCount: 990,
    lostCount: 10,
    meanNm: 400,
    leastNm: -3.2,
    greatestNm: 512,
    standardDeviationNm: 12.34,
    impulseNms: 400,
  };
  const cell = (
    name: string,
    change: Partial<typeof figures> | { readonly meanNm: null } = {},
    unit: 'Nm' | 'ftLbf' = 'Nm',
  ) =>
    plain(
      windowCells({ ...figures, ...change }, 0.001, torqueDisplay(unit, null)).find(
        (found) => found.name === name,
      )?.value ?? '',
    );

  it('are in the chosen unit, the impulse too', () => {
    expect(cell('Mean')).toBe('400 N·m');
    expect(cell('Impulse')).toBe('400 N·m·s');
    // 400 N·m / 1.3558179483314004 (NIST SP 811) = 295.02
    expect(cell('Mean', {}, 'ftLbf')).toBe('295.0 ft·lbf');
    expect(cell('Impulse', {}, 'ftLbf')).toBe('295.0 ft·lbf·s');
    expect(cell('Standard deviation')).toBe('12.3 N·m');
  });

  it('say what was lost, and where there is nothing', () => {
    expect(cell('Samples')).toBe('990, 10 lost');
    expect(cell('Samples', { lostCount: 0 })).toBe('990');
    expect(cell('Mean', { meanNm: null })).toBe('none');
  });
});
