import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import noInt1 from '../fixtures/reference-values/nist-strd/noint1.json' with { type: 'json' };
import pontius from '../fixtures/reference-values/nist-strd/pontius.json' with { type: 'json' };

const command = fileURLToPath(new URL('../../scripts/proofarm.mjs', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'proofarm-fit-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

function fit(text: string, ...options: string[]): { status: number | null; stdout: string; stderr: string } {
  const file = join(folder, 'points.csv');
  writeFileSync(file, text);
  return spawnSync(process.execPath, [command, 'fit', file, ...options], { encoding: 'utf8' });
}

const csvOf = ({ x, y }: { x: readonly number[]; y: readonly number[] }): string =>
  `x,y\n${x.map((value, index) => `${value},${y[index] ?? ''}`).join('\n')}\n`;

describe('proofarm fit', () => {
  it('gives every figure of the quadratic of NIST StRD Pontius as JSON', () => {
    const { status, stdout } = fit(csvOf(pontius), '--degree', '2', '--json');
    expect(status).toBe(0);
    const figures = JSON.parse(stdout) as Record<string, unknown>;
    expect(Object.keys(figures)).toEqual([
      'coefficients',
      'standardErrors',
      'residualStandardDeviation',
      'degreesOfFreedom',
      'rSquared',
      'lackOfFit',
      'warnings',
    ]);
    expect(figures['residualStandardDeviation']).toBeCloseTo(2.05177424076185e-4, 13);
    expect(figures['degreesOfFreedom']).toBe(37);
    expect(figures['lackOfFit']).toMatchObject({ dfLackOfFit: 17, dfPureError: 20 });
    expect(figures['warnings']).toEqual([]);
  });

  it('turns a reading back with its interval, as the load-cell case study of NIST/SEMATECH 4.6.1 does', () => {
    const { stdout } = fit(csvOf(pontius), '--degree', '2', '--read', '1.239722', '--json');
    const { reading } = JSON.parse(stdout) as { reading: { x: number; lower: number; upper: number } };
    expect(Math.abs(reading.x - 1_705_105.57)).toBeLessThan(1);
    expect(Math.abs(reading.lower - 1_704_513.37)).toBeLessThan(1);
    expect(Math.abs(reading.upper - 1_705_697.76)).toBeLessThan(1);
    expect(fit(csvOf(pontius), '--read', '99').stderr).toContain('outside the range');
  });

  it('leaves the constant out through zero, and says that lack of fit cannot be told without repeats', () => {
    const { stdout } = fit(csvOf(noInt1), '--through-zero', '--json');
    const figures = JSON.parse(stdout) as { coefficients: number[]; lackOfFit: unknown; warnings: string[] };
    expect(figures.coefficients).toHaveLength(1);
    expect(figures.coefficients[0]).toBeCloseTo(2.07438016528926, 12);
    expect(figures.lackOfFit).toBeNull();
    expect(figures.warnings).toContainEqual(expect.stringContaining('lack of fit cannot be told'));
  });

  it('prints a table for a person, and warns of a curve that misses its levels', () => {
    const { stdout } = fit(csvOf(pontius));
    expect(stdout).toContain('0.006149684211');
    expect(stdout).toContain('try a higher degree');
  });

  it('takes weights, a byte-order mark, Windows line ends and blank lines as they come', () => {
    const { status, stdout } = fit('\uFEFFweight,X,y\r\n1,1,1\r\n\r\n2,2,2\r\n1,3,3.5\r\n', '--json');
    expect(status).toBe(0);
    expect((JSON.parse(stdout) as { degreesOfFreedom: number }).degreesOfFreedom).toBe(1);
  });

  it.each([
    ['x,y\n1,2\n2,a\n3,4\n', 'line 3, column 2: "a" is not a number for y'],
    ['x,y\n1,2\n2,\n3,4\n', 'line 3, column 2: "" is not a number for y'],
    ['x,y\n1,2\n2,3,4\n', 'line 3, column 3: there are 3 cells and the header has 2. A decimal comma'],
    ['x,z\n1,2\n', 'line 1, column 2: "z" is not a column'],
    ['x,x\n1,2\n', 'line 1, column 2: there are two columns x'],
    ['x\n1\n', 'line 1, column 1: the header has no column y'],
    ['x,y,weight\n1,2,1\n2,3,0\n', 'line 3, column 3: a weight must be more than 0'],
    ['x,y\n1,2\n"2,3\n', 'line 3, column'],
    ['', 'line 1, column 1: the file is empty'],
    ['x,y\n1,2\n1,3\n1,4\n', 'too few different x'],
    ['x,y\n1,2\n', 'needs more than 2 points; there are 1'],
  ])('refuses %j with 2 and where it is wrong', (text, message) => {
    const { status, stdout, stderr } = fit(text);
    expect(stderr).toContain(message);
    expect(stdout).toBe('');
    expect(status).toBe(2);
  });

  it.each([
    [['--degree', '7']],
    [['--degree', '1.5']],
    [['--degre', '2']],
    [['another.csv']],
    [['--read', 'much']],
  ])('refuses the options %j with 2', (options) => {
    expect(fit('x,y\n1,2\n2,3\n3,4\n', ...options).status).toBe(2);
  });
});
