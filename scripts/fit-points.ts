import { readFileSync } from 'node:fs';
import process from 'node:process';
import { parseArgs } from 'node:util';
import { distributionFunctions as distributions } from '../shared-lib/calibration/distribution-functions.ts';
import { AppError } from '../shared-lib/app-error.ts';
import {
  fitPolynomial,
  type FitModel,
  type FitPoint,
  type PolynomialFit,
} from '../shared-lib/calibration/fit-polynomial.ts';
import { type InverseReading, invertReading } from '../shared-lib/calibration/inverse-reading.ts';
import { readFitPoints } from './read-fit-points.ts';

const HIGHEST_DEGREE = 6;
/** The design's rule: a curve that misses the levels at this probability does not fit. */
const LACK_OF_FIT_P = 0.01;

const usage = `proofarm fit POINTS.csv [options]   fit a calibration curve to points, as the program does

POINTS.csv has a header and the columns x and y, and optionally weight, separated by commas.

  --degree N       degree of the polynomial, 1 to ${HIGHEST_DEGREE} (default 1)
  --through-zero   without a constant
  --read Y         also turns the reading Y back into an x, with its 95 % interval
  --json           all figures as JSON, in full digits
  --help           this text

Ends with 0, or with 2 where the file or the options cannot be used.
`;

interface FitChoice {
  readonly file: string;
  readonly model: FitModel;
  /** The reading to turn back; null: none. */
  readonly reading: number | null;
  readonly isJson: boolean;
}

/** Returns the exit code. */
export function fitPoints(argv: readonly string[]): number {
  try {
    const choice = readChoice(argv);
    if (choice === 'help') {
      process.stdout.write(usage);
      return 0;
    }
    const points = readFitPoints(readText(choice.file), choice.file);
    const fit = fitPolynomial(points, choice.model, distributions);
    const warnings = warningsOf(fit, points);
    const xs = points.map(({ x }) => x);
    const range = { from: Math.min(...xs), to: Math.max(...xs) };
    const read = choice.reading === null ? null : invertReading(fit, choice.reading, range, distributions);
    process.stdout.write(choice.isJson ? jsonOf(fit, read, warnings) : textOf(fit, read, warnings));
    return 0;
  } catch (error) {
    if (!(error instanceof AppError)) throw error;
    process.stderr.write(`${error.message}\n`);
    return 2;
  }
}

function readChoice(argv: readonly string[]): FitChoice | 'help' {
  const { values, positionals } = parseOptions(argv);
  if (values.help) return 'help';
  const [file, ...others] = positionals;
  if (file === undefined || others.length > 0) {
    throw new AppError('input-out-of-range', `Name one file of points.\n\n${usage}`);
  }
  const degree = Number(values.degree);
  if (!Number.isInteger(degree) || degree < 1 || degree > HIGHEST_DEGREE) {
    throw new AppError(
      'input-out-of-range',
      `--degree takes a whole number from 1 to ${HIGHEST_DEGREE}; "${values.degree}" is not.`,
    );
  }
  const reading = values.read === undefined ? null : Number(values.read);
  if (values.read === '' || Number.isNaN(reading)) {
    throw new AppError('input-out-of-range', `--read takes a number; "${values.read ?? ''}" is not.`);
  }
  return { file, model: { degree, throughZero: values['through-zero'] }, reading, isJson: values.json };
}

function parseOptions(argv: readonly string[]) {
  try {
    return parseArgs({
      args: [...argv],
      allowPositionals: true,
      options: {
        degree: { type: 'string', default: '1' },
        'through-zero': { type: 'boolean', default: false },
        read: { type: 'string' },
        json: { type: 'boolean', default: false },
        help: { type: 'boolean', default: false },
      },
    });
  } catch (error) {
    // Node's own words for an option that does not exist; anything else is a bug.
    if (!(error instanceof TypeError)) throw error;
    throw new AppError('input-out-of-range', `${error.message}\n\n${usage}`);
  }
}

function readText(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    throw new AppError(
      'input-out-of-range',
      `The file ${file} could not be read: ${error instanceof Error ? error.message : String(error)}.`,
    );
  }
}

function warningsOf(fit: PolynomialFit, points: readonly FitPoint[]): string[] {
  const { model, lackOfFit, degreesOfFreedom } = fit;
  const levels = new Set(points.map(({ x }) => x)).size;
  const warnings: string[] = [];
  if (model.degree > 3)
    warnings.push(`A calibration in the program has a degree of 1 to 3; this is ${model.degree}.`);
  if (model.degree > levels - 3) {
    warnings.push(
      `Degree ${model.degree} is much for ${levels} levels; a calibration takes at most ${Math.max(0, levels - 3)}.`,
    );
  }
  if (degreesOfFreedom < 3) {
    warnings.push(
      `Only ${degreesOfFreedom} degrees of freedom are left: the errors are little better than guesses.`,
    );
  }
  if (lackOfFit === null) {
    warnings.push('Without repeats that scatter, and a level to spare, lack of fit cannot be told.');
  } else if (lackOfFit.p < LACK_OF_FIT_P) {
    warnings.push(
      `The curve misses the levels by more than the repeats scatter (F ${lackOfFit.f.toPrecision(4)}, p ${lackOfFit.p.toPrecision(2)}); try a higher degree.`,
    );
  }
  return warnings;
}

function jsonOf(fit: PolynomialFit, read: InverseReading | null, warnings: readonly string[]): string {
  const { coefficients, standardErrors, residualStandardDeviation, degreesOfFreedom, rSquared, lackOfFit } =
    fit;
  const figures = {
    coefficients,
    standardErrors,
    residualStandardDeviation,
    degreesOfFreedom,
    rSquared,
    lackOfFit,
  };
  const inverse = read === null ? {} : { reading: read };
  return `${JSON.stringify({ ...figures, ...inverse, warnings }, null, 2)}\n`;
}

function textOf(fit: PolynomialFit, read: InverseReading | null, warnings: readonly string[]): string {
  const firstPower = fit.model.throughZero ? 1 : 0;
  const digits = (value: number): string => value.toPrecision(10).padStart(20);
  return [
    `Degree ${fit.model.degree}, ${fit.model.throughZero ? 'through zero' : 'with a constant'}`,
    '',
    `power ${'coefficient'.padStart(20)} ${'standard error'.padStart(20)}`,
    ...fit.coefficients.map(
      (value, index) =>
        `x^${index + firstPower}   ${digits(value)} ${digits(fit.standardErrors[index] ?? Number.NaN)}`,
    ),
    '',
    `residual standard deviation ${fit.residualStandardDeviation.toPrecision(10)}, ${fit.degreesOfFreedom} degrees of freedom`,
    `r squared ${fit.rSquared.toPrecision(12)}${fit.model.throughZero ? ' (about zero)' : ''}`,
    fit.lackOfFit === null
      ? 'lack of fit: cannot be told'
      : `lack of fit: F ${fit.lackOfFit.f.toPrecision(6)} with ${fit.lackOfFit.dfLackOfFit} and ${fit.lackOfFit.dfPureError} degrees of freedom, p ${fit.lackOfFit.p.toPrecision(4)}`,
    ...(read === null
      ? []
      : [
          `the reading stands for x ${read.x.toPrecision(10)}, 95 % ${read.lower.toPrecision(10)} to ${read.upper.toPrecision(10)}`,
        ]),
    ...warnings.map((warning) => `\nNote: ${warning}`),
    '',
  ].join('\n');
}
