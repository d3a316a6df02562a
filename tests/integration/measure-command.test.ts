import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { measureCurve } from '../../scripts/measure-curve.ts';

const command = fileURLToPath(new URL('../../scripts/proofarm.mjs', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'proofarm-measure-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

interface Answer {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** As the command line, in this process: starting one for each file would take minutes. */
function run(...argv: string[]): Answer {
  const written = { stdout: '', stderr: '' };
  const status = measureCurve(argv, {
    stdout: { write: (text) => (written.stdout += text) },
    stderr: { write: (text) => (written.stderr += text) },
  });
  return { status, ...written };
}

function measure(text: string, ...options: string[]): Answer {
  const file = join(folder, 'curve.csv');
  writeFileSync(file, text);
  return run(file, ...options);
}

function figuresOf(text: string, ...options: string[]): Record<string, unknown> {
  const { status, stdout, stderr } = measure(text, ...options, '--json');
  expect(stderr).toBe('');
  expect(status).toBe(0);
  return JSON.parse(stdout) as Record<string, unknown>;
}

interface Recipe {
  readonly rateHz?: number;
  readonly fromS?: number;
  readonly toS?: number;
  readonly torqueNm: (timeS: number) => number;
  /** Samples that are left out. */
  readonly isLost?: (index: number) => boolean;
}

function rowsOf({ rateHz = 1000, fromS = -1, toS = 7, torqueNm, isLost = () => false }: Recipe): string[] {
  return Array.from({ length: Math.round((toS - fromS) * rateHz) + 1 }, (_, index) => {
    const timeS = fromS + index / rateHz;
    return isLost(index) ? [] : [`${timeS.toFixed(6)},${torqueNm(timeS).toFixed(6)}`];
  }).flat();
}
const csvOf = (recipe: Recipe): string => `time_s,torque_nm\n${rowsOf(recipe).join('\n')}\n`;

/** Towards 300 N.m with a time constant of 0.8 s, let go after 5.5 s. */
const rise = (t: number): number => (t > 0 && t < 5.5 ? 300 * (1 - Math.exp(-t / 0.8)) : 0);
const usual = ['--planned-s', '5', '--capacity-nm', '2000', '--level-nm', '200', '--level-nm', '400'];
const near = (value: number, decimals: number): number => expect.closeTo(value, decimals) as number;

describe('proofarm measure', () => {
  it('gives all measures of a saturating rise by its closed form', () => {
    // The measuring curve is 300 (1 - q exp(-t/tau)), q = sinh(0.101/2tau) / (101 sinh(0.001/2tau)) (see measures.test.ts), so it
    // reaches X at tau ln(q / (1 - X/300)): the onset level of 1 % of capacity, 20 N.m, at 0.0557 s.
    const tauS = 0.8;
    const q = Math.sinh(0.101 / (2 * tauS)) / (101 * Math.sinh(0.001 / (2 * tauS)));
    const reachesS = (levelNm: number): number => tauS * Math.log(q / (1 - levelNm / 300));
    const onsetS = reachesS(20);
    const curve = (t: number): number => 300 * (1 - q * Math.exp(-(t + onsetS) / tauS));

    const figures = figuresOf(csvOf({ torqueNm: rise }), ...usual);
    expect(figures['sampleRateHz']).toBe(1000);
    expect(figures['onsetS']).toBeCloseTo(onsetS, 5);
    expect(figures['sustainedTorqueNm']).toBeCloseTo(curve(5 - 0.25), 1);
    expect(figures['torqueAtNm']).toEqual({
      1: near(curve(1), 3),
      2: near(curve(2), 3),
      3: near(curve(3), 3),
      5: near(curve(5), 3),
    });
    expect(figures['timeToLevelS']).toEqual({ 200: near(reachesS(200) - onsetS, 4), 400: null });
    // Means and integrals of 300 (1 - exp(-t/tau)) from a to b, t from the beginning of the rise.
    const integral = (a: number, b: number): number =>
      300 * (b - a - tauS * (Math.exp(-a / tauS) - Math.exp(-b / tauS)));
    expect(figures['finalTorqueNm']).toBeCloseTo(2 * integral(onsetS + 4.5, onsetS + 5), 2);
    expect(figures['impulseNms']).toBeCloseTo(integral(onsetS, onsetS + 5), 2);
    expect(figures['highestReadingNm']).toBeCloseTo(rise(onsetS + 5), 1);
    // Slopes as derived in still-climbing.test.ts and rise.test.ts.
    const middle = (375 / 3) * Math.exp(-(onsetS + 4) / tauS);
    expect(figures['stillClimbingPercentPerS']).toBeGreaterThan(middle);
    expect(figures['stillClimbingPercentPerS']).toBeLessThan(1.29 * middle);
    expect(figures['riseNmPerS']).toBeGreaterThan(375 * Math.exp(-(onsetS + 0.25) / tauS));
    expect(figures['riseNmPerS']).toBeLessThan(1.03 * 375 * Math.exp(-(onsetS + 0.25) / tauS));
    // t is from onset, which lies 0.056 s behind the beginning: tau comes out shorter by about that.
    expect(figures['riseModel']).toMatchObject({
      torqueNm: near(300, -1),
      timeConstantS: near(tauS - onsetS, 1),
    });
    expect(figures['blowRateHz']).toEqual({ refused: expect.stringContaining('no line') as string });
    expect(figures['quality']).toEqual({ verdict: 'good', reasons: [] });
    expect(figures).toMatchObject({
      direction: 'forward',
      directionTaken: 'larger excursion',
      plannedS: 5,
      onsetLevelNm: 20,
      definitionVersion: 4,
    });
  });

  it('gives all measures of a tool that stalls at once, whose curve begins under load', () => {
    const blows = (t: number): number => 250 + 20 * Math.sin(2 * Math.PI * 31 * t);
    const figures = figuresOf(csvOf({ fromS: 10, toS: 15, torqueNm: blows }), '--onset-nm', '20');
    expect(figures).toMatchObject({
      onsetS: 10,
      plannedS: 5,
      plannedTaken: 'whole record from onset',
      onsetLevelNm: 20,
      impulseNms: near(1250, 0),
      blowRateHz: near(31, 2),
      sustainedTorqueNm: near(250, -1),
      finalTorqueNm: near(250, 0),
      stillClimbingPercentPerS: near(0, 1),
      levelledOffSinceS: 0,
    });
  });

  it('takes the sign of the larger excursion, says so, and gives the same figures for it', () => {
    const forward = figuresOf(csvOf({ torqueNm: rise }), ...usual);
    const reverse = figuresOf(csvOf({ torqueNm: (t) => -rise(t) }), ...usual);
    expect(reverse).toEqual({ ...forward, direction: 'reverse' });
    const { stdout } = measure(csvOf({ torqueNm: (t) => -rise(t) }), ...usual);
    expect(stdout).toContain('reverse, the sign of the larger excursion');
    const against = figuresOf(csvOf({ torqueNm: rise }), ...usual, '--direction', 'reverse');
    expect(against).toMatchObject({
      directionTaken: 'given',
      sustainedTorqueNm: { refused: expect.stringContaining('No onset') as string },
      onsetS: { refused: expect.stringContaining('No onset') as string },
      timeToLevelS: { 200: { refused: expect.stringContaining('No onset') as string } },
      quality: { verdict: 'notUsable' },
    });
  });

  it('measures at 80 Sa/s what that carries, and names the rate that the blow rate needs', () => {
    const figures = figuresOf(csvOf({ rateHz: 80, torqueNm: rise }), ...usual);
    expect(figures).toMatchObject({
      sampleRateHz: 80,
      sustainedTorqueNm: near(299, 0),
      blowRateHz: { refused: expect.stringContaining('320\u202fSa/s') as string },
    });
    const blows = (t: number): number =>
      rise(t) + (t > 0 && t < 5.5 ? 15 * Math.sin(2 * Math.PI * 21 * t) : 0);
    const known = figuresOf(csvOf({ rateHz: 80, torqueNm: blows }), ...usual, '--anti-alias-hz', '40');
    expect(known['blowRateHz']).toBeCloseTo(21, 1);
  });

  it('refuses measures, and does not fail, at 30 Sa/s, for one second and without any torque', () => {
    const slow = figuresOf(csvOf({ rateHz: 30, torqueNm: rise }), ...usual);
    expect(slow['sustainedTorqueNm']).toEqual({
      refused: 'There is no measuring curve under 36\u202fSa/s; this trial has 30\u202fSa/s.',
    });
    expect(slow['quality']).toMatchObject({ verdict: 'notUsable' });

    const short = figuresOf(csvOf({ fromS: 0, toS: 1, torqueNm: () => 100 }), '--onset-nm', '5');
    expect(short).toMatchObject({
      sustainedTorqueNm: near(100, 6),
      torqueAtNm: { 1: near(100, 6) },
      stillClimbingPercentPerS: { refused: expect.stringContaining('at least 2.0') as string },
      blowRateHz: { refused: expect.stringContaining('at least 2.0') as string },
    });
    const planned = figuresOf(csvOf({ fromS: 0, toS: 1, torqueNm: () => 100 }), ...usual);
    expect(planned['finalTorqueNm']).toEqual({
      refused: expect.stringContaining('1.00\u202fs after onset') as string,
    });

    const still = figuresOf(csvOf({ torqueNm: () => 0 }), '--planned-s', '5');
    expect(still).toMatchObject({
      onsetLevelNm: null,
      direction: 'forward',
      impulseNms: { refused: expect.stringContaining('No onset') as string },
    });
  });

  it('leaves lost samples lost, counts them, and measures around them', () => {
    const isLost = (index: number): boolean => index >= 4000 && index < 4020;
    const figures = figuresOf(csvOf({ torqueNm: rise, isLost }), ...usual);
    expect(figures).toMatchObject({
      sampleRateHz: 1000,
      lostSamples: 20,
      sampleCount: 7981,
      impulseNms: near(1276.6, 0),
      quality: { verdict: 'look', reasons: [{ code: 'lostSamples' }] },
    });
    const wide = (index: number): boolean => index >= 5950 && index < 6150;
    const gapped = figuresOf(csvOf({ torqueNm: rise, isLost: wide }), ...usual);
    expect(gapped['torqueAtNm']).toMatchObject({
      5: { refused: expect.stringContaining('less than half') as string },
    });
    expect(gapped['impulseNms']).toHaveProperty('refused');
  });

  it('takes the noise before the torque for the onset level where that is more', () => {
    // A rest that swings at 3 Hz with 20 N.m, which a mean over 101 ms lets through by 86 %: a standard deviation of 12 N.m.
    const torqueNm = (t: number): number => (t < 0 ? 20 * Math.sin(2 * Math.PI * 3 * t) : 300);
    const figures = figuresOf(
      csvOf({ torqueNm }),
      '--planned-s',
      '5',
      '--capacity-nm',
      '500',
      '--direction',
      'forward',
    );
    expect(figures['onsetLevelTaken']).toBe('five times the noise before the torque');
    expect(figures['onsetLevelNm']).toBe(5 * Number(figures['noiseNm']));
    expect(Math.abs(Number(figures['noiseNm']) - 12)).toBeLessThan(1.5);
  });

  it('judges overload by the capacity, and zero where the record has rest at both ends', () => {
    const codes = (text: string, ...options: string[]): string[] =>
      (
        figuresOf(text, '--planned-s', '5', ...options)['quality'] as { reasons: { code: string }[] }
      ).reasons.map(({ code }) => code);
    expect(codes(csvOf({ torqueNm: rise }), '--capacity-nm', '250')).toEqual(['overload']);
    const shifted = (t: number): number => (t >= 5.5 ? 14 : rise(t));
    expect(codes(csvOf({ torqueNm: shifted }), '--capacity-nm', '2000')).toEqual(['zeroShift']);
    const held = (t: number): number => (t >= 5.5 ? 300 : rise(t));
    expect(codes(csvOf({ torqueNm: held }), '--capacity-nm', '2000')).toEqual(['zeroNotMeasured']);
    const stopped = (t: number): number => (t >= 3 ? 0 : rise(t));
    expect(codes(csvOf({ torqueNm: stopped }), '--capacity-nm', '2000')).toEqual(['earlyStop']);
    expect(codes(csvOf({ toS: 3, torqueNm: rise }), '--capacity-nm', '2000')).toContain('recordShort');
  });

  it('prints a table for a person, in both units, with what was taken for granted', () => {
    const { status, stdout } = measure(csvOf({ torqueNm: rise }), '--level-nm', '200');
    expect(status).toBe(0);
    expect(stdout).toContain('forward, the sign of the larger excursion');
    expect(stdout).toContain('the whole record from onset');
    expect(stdout).toContain("1 % of the curve's highest value, since no capacity was given");
    expect(stdout).toMatch(/sustained torque +\d+\.\d\u202fN·m \(\d+\.\d\u202fft·lbf\)/);
    expect(stdout).toMatch(/time to 200\.0\u202fN·m +0\.\d+\u202fs/);
  });
});

describe('proofarm measure with raw counts', () => {
  const calibrationFile = join(folder, 'calibration.json');
  const counts = `time_s,raw_counts\n${rowsOf({ torqueNm: rise })
    .map((row) => row.split(','))
    .map(([time, torque]) => `${time ?? ''},${Math.round(Number(torque) / 1e-4) + 2500}`)
    .join('\n')}\n`;
  const withCalibration = (content: unknown): Answer => {
    writeFileSync(calibrationFile, typeof content === 'string' ? content : JSON.stringify(content));
    return measure(counts, ...usual, '--calibration', calibrationFile, '--json');
  };
  const forward = { gainNmPerCount: 1e-4, validToNm: 2000 };

  it('gives the figures of the torque that they stand for', () => {
    const { status, stdout } = withCalibration({ zeroCounts: 2500, forward });
    expect(status).toBe(0);
    const figures = JSON.parse(stdout) as Record<string, number>;
    const torque = figuresOf(csvOf({ torqueNm: rise }), ...usual);
    for (const name of ['onsetS', 'sustainedTorqueNm', 'finalTorqueNm', 'impulseNms', 'riseNmPerS']) {
      expect(figures[name]).toBeCloseTo(Number(torque[name]), 3);
    }
  });

  it('judges the range of the calibration, the other sense, and the ends of the converter', () => {
    const codes = (calibration: object): string[] => {
      const { quality } = JSON.parse(withCalibration(calibration).stdout) as {
        quality: { reasons: { code: string }[] };
      };
      return quality.reasons.map(({ code }) => code);
    };
    expect(codes({ zeroCounts: 2500, forward: { gainNmPerCount: 1e-4 } })).toEqual([]);
    expect(codes({ zeroCounts: 2500, forward: { ...forward, validToNm: 200 } })).toEqual([
      'beyondCalibration',
    ]);
    expect(codes({ zeroCounts: 2500, reverse: forward })).toEqual(['senseNotCalibrated']);
    // 3 000 000 counts lie within 24 bits and beyond 16.
    expect(codes({ zeroCounts: 2500, forward, converterBits: 24 })).toEqual([]);
    expect(codes({ zeroCounts: 2500, forward, converterBits: 16 })).toContain('rails');
  });

  it('turns the sense for a reaction arm', () => {
    const { stdout } = withCalibration({ zeroCounts: 2500, forward, senseSign: -1 });
    expect(JSON.parse(stdout)).toMatchObject({ direction: 'reverse', sustainedTorqueNm: near(299, 0) });
  });

  it.each([
    ['{', 'cannot be read as a calibration'],
    [{ forward }, 'zeroCounts'],
    [{ zeroCounts: 1 }, 'neither forward nor reverse has a gain'],
    [{ zeroCounts: 1, forward: { gainNmPerCount: 0 } }, 'forward.gainNmPerCount: A gain of zero'],
    [{ zeroCounts: 1, forward, reverse: { gainNmPerCount: -1e-4 } }, 'different signs'],
    [{ zeroCounts: 1, forwards: forward }, 'forwards'],
  ])('refuses the calibration %j with 2', (content, message) => {
    const { status, stdout, stderr } = withCalibration(content);
    expect(stderr).toContain(message);
    expect(stdout).toBe('');
    expect(status).toBe(2);
  });

  it('wants a calibration for counts, and none for torque', () => {
    expect(measure(counts).stderr).toContain('say with --calibration FILE');
    const torque = measure(csvOf({ torqueNm: rise }), '--calibration', calibrationFile);
    expect(torque.stderr).toContain('leave it out, or give raw_counts');
    expect(torque.status).toBe(2);
    expect(measure(counts, '--calibration', join(folder, 'nowhere.json')).status).toBe(2);
    expect(measure('time_s,raw_counts\n0,1\n0.001,1.5\n', '--calibration', calibrationFile).stderr).toContain(
      'line 3: raw counts are whole numbers',
    );
  });
});

describe('proofarm measure with files that are not as they should be', () => {
  it('takes a byte-order mark, Windows line ends, blank lines and columns the other way round', () => {
    const rows = rowsOf({ torqueNm: rise }).map((row) => row.split(',').reverse().join(','));
    const figures = figuresOf(`\uFEFFTORQUE_NM, time_s\r\n${rows.join('\r\n\r\n')}\r\n`, ...usual);
    expect(figures).toEqual(figuresOf(csvOf({ torqueNm: rise }), ...usual));
  });

  it.each([
    ['', 'line 1: the file is empty'],
    ['\n\n', 'line 1: the file is empty'],
    ['time_s,torque_nm\n', 'there is no sample under the header'],
    ['time_s,torque_nm\n0,1\n', 'there is only one sample under the header'],
    ['torque_nm\n1\n2\n', 'line 1: the header must be time_s,torque_nm or time_s,raw_counts'],
    ['time_s,torque_nm,raw_counts\n0,1,1\n', 'line 1: the header must be'],
    ['time,torque_nm\n0,1\n', 'line 1: "time" is no column of a curve'],
    ['0,1\n0.001,2\n', 'line 1: "0" is no column of a curve'],
    ['time_s;torque_nm\n0,000;1,5\n', 'line 1: the columns are not separated by commas'],
    ['time_s,torque_nm\n0,001,1,5\n', 'line 2: there are 4 cells'],
    ['time_s,torque_nm\n0;1\n', 'line 2: there is one cell'],
    ['time_s,torque_nm\n0,1\n0.001,NaN\n', 'line 3: "NaN" is not a number for torque_nm'],
    [
      'time_s,torque_nm\n0,1\n0.001,\n',
      'line 3: "" is not a number for torque_nm. Leave out the line of a sample that was lost',
    ],
    ['time_s,torque_nm\n0,1\n0.001,many\n', 'line 3: "many" is not a number'],
    ['time_s,torque_nm\n0,1\n0.001,0x10\n', 'line 3: "0x10" is not a number'],
    [
      'time_s,torque_nm\n0,1\n0.001,"1,5"\n',
      'line 3: "1,5" is not a number for torque_nm. Write a decimal point',
    ],
    ['time_s,torque_nm\n0,1\n0.002,1\n0.001,1\n', 'line 4: the time runs backwards'],
    ['time_s,torque_nm\n0,1\n0.001,1\n0.001,1\n', 'line 4: the time is the same as on the line before'],
    ['time_s,torque_nm\n0,1\n0.001,1\n0.0024,1\n0.003,1\n', 'the times are uneven'],
    ['time_s,torque_nm\n0,1\n0.001,1\n0.002,1\n50,1\n', 'line 5: more samples are lost up to here'],
    ['time_s,torque_nm\n0,1\n"0.001,1\n', 'line'],
  ])('refuses %j with 2, the line and what to do', (text, message) => {
    const { status, stdout, stderr } = measure(text);
    expect(stderr).toContain(message);
    expect(stdout).toBe('');
    expect(status).toBe(2);
  });

  it('counts lines as an editor does', () => {
    const { stderr } = measure('time_s,torque_nm\n\n0,1\n\n0.001,x\n');
    expect(stderr).toContain('line 5: "x"');
  });

  it.each([
    [['--planned-s', '0']],
    [['--planned-s=-5']],
    [['--planned-s', 'long']],
    [['--capacity-nm', '']],
    [['--level-nm', '400,5']],
    [['--direction', 'left']],
    [['--onset-nm', 'Infinity']],
    [['--plannds', '5']],
    [['another.csv']],
  ])('refuses the options %j with 2', (options) => {
    const { status, stderr } = measure('time_s,torque_nm\n0,1\n0.001,1\n', ...options);
    expect(stderr).not.toBe('');
    expect(status).toBe(2);
  });

  it('says what it is for, and that a file cannot be read', () => {
    const help = run('--help');
    expect(help.status).toBe(0);
    expect(help.stdout).toContain('--calibration FILE');
    expect(run().stderr).toContain('Name one file');
    const missing = run(join(folder, 'none.csv'));
    expect(missing.status).toBe(2);
    expect(missing.stderr).toContain('could not be read');
  });

  it('is a command of the program: figures on one stream, refusals on the other, with their exit codes', () => {
    const file = join(folder, 'started.csv');
    const start = (text: string): Answer => {
      writeFileSync(file, text);
      return spawnSync(process.execPath, [command, 'measure', file, '--json', '--planned-s', '5'], {
        encoding: 'utf8',
      });
    };
    const good = start(csvOf({ torqueNm: rise }));
    expect(good).toMatchObject({ status: 0, stderr: '' });
    expect(JSON.parse(good.stdout)).toEqual(figuresOf(csvOf({ torqueNm: rise }), '--planned-s', '5'));
    expect(start('time_s,torque_nm\n0,x\n')).toMatchObject({
      status: 2,
      stdout: '',
      stderr: expect.stringContaining('line 2: "x" is not a number') as string,
    });
  });
});
