import { readFileSync } from 'node:fs';
import process from 'node:process';
import { parseArgs } from 'node:util';
import { AppError } from '../shared-lib/app-error.ts';
import type { Direction } from '../shared-lib/trial/step-model.ts';
import { jsonOf, textOf } from './curve-report.ts';
import { type MeasureChoice, measureCurveFile } from './measure-curve-file.ts';
import { readCalibrationFile, type CalibrationFile } from './read-calibration-file.ts';
import { readCurve, type CurveFile } from './read-curve-file.ts';

const usage = `proofarm measure CURVE.csv [options]   measure a curve as the program measures its trials

CURVE.csv has the header time_s,torque_nm or time_s,raw_counts and a line for each sample, separated by commas, with decimal
points, at one even rate. A sample that was lost has no line. Clockwise torque is positive.

  --planned-s N           planned time from onset; without it the whole record from onset
  --capacity-nm N         capacity of the transducer
  --level-nm N            time to this torque; may be given several times
  --direction D           forward or reverse; without it the sign of the larger excursion
  --onset-nm N            level of onset; without it the greater of 1 % of the capacity and five times the noise before the
                          torque begins. Without a capacity 1 % of the curve's highest value stands in for it
  --anti-alias-hz N       anti-alias bandwidth of the amplifier, where it is known
  --calibration FILE      for raw_counts: how they become torque, see below
  --json                  all figures as JSON, in full digits
  --help                  this text

The calibration is JSON. Torque is (counts - zeroCounts) times the gain of the sense it lies in; a sense may be left out:

  { "zeroCounts": 2500,
    "forward": { "gainNmPerCount": 0.00025, "validToNm": 2000 },
    "reverse": { "gainNmPerCount": 0.00025, "validToNm": 2000 } }

validToNm is the highest torque that was applied; beyond it a curve is marked. May be added: "curve" of a sense as a
calibration of the program has it, "senseSign": -1 for a reaction arm, "converterBits": 24 to look for the converter's ends.

In the JSON output a measure that the curve cannot carry is { "refused": "reason" }; measures are positive in the direction of
the pull, times are from onset, but onsetS is on the file's own axis. A curve whose measures are refused, or that is not
usable, is measured all the same: see "quality".

Ends with 0, or with 2 where a file or the options cannot be used.
`;

interface CommandLine {
  readonly file: string;
  readonly calibrationFile: string | null;
  readonly choice: MeasureChoice;
  readonly isJson: boolean;
}

/** Where the command writes; `process` is one. */
export interface Output {
  readonly stdout: { write(text: string): unknown };
  readonly stderr: { write(text: string): unknown };
}

/** Returns the exit code. */
export function measureCurve(argv: readonly string[], { stdout, stderr }: Output = process): number {
  try {
    const commandLine = readCommandLine(argv);
    if (commandLine === 'help') {
      stdout.write(usage);
      return 0;
    }
    const { file, choice, isJson } = commandLine;
    const curve = readCurve(readText(file), file);
    const calibration = calibrationFor(curve, commandLine);
    const measured = measureCurveFile(curve, file, calibration, choice);
    stdout.write(isJson ? jsonOf(measured, choice) : textOf(measured, choice));
    return 0;
  } catch (error) {
    if (!(error instanceof AppError)) throw error;
    stderr.write(`${error.message}\n`);
    return 2;
  }
}

function calibrationFor(
  { column }: CurveFile,
  { file, calibrationFile }: CommandLine,
): CalibrationFile | null {
  if (column === 'raw_counts' && calibrationFile === null) {
    throw refusal(`${file} has raw counts: say with --calibration FILE how they become torque.`);
  }
  if (column === 'torque_nm' && calibrationFile !== null) {
    throw refusal(`${file} has torque, which --calibration is not for: leave it out, or give raw_counts.`);
  }
  return calibrationFile === null ? null : readCalibrationFile(readText(calibrationFile), calibrationFile);
}

function readCommandLine(argv: readonly string[]): CommandLine | 'help' {
  const { values, positionals } = parseOptions(argv);
  if (values.help) return 'help';
  const [file, ...others] = positionals;
  if (file === undefined || others.length > 0) throw refusal(`Name one file with a curve.\n\n${usage}`);
  return {
    file,
    calibrationFile: values.calibration ?? null,
    choice: {
      plannedS: positive('--planned-s', values['planned-s']),
      capacityNm: positive('--capacity-nm', values['capacity-nm']),
      levelsNm: (values['level-nm'] ?? []).map((text) => toPositive('--level-nm', text)),
      direction: readDirection(values.direction),
      onsetNm: positive('--onset-nm', values['onset-nm']),
      antiAliasHz: positive('--anti-alias-hz', values['anti-alias-hz']),
    },
    isJson: values.json,
  };
}

function parseOptions(argv: readonly string[]) {
  try {
    return parseArgs({
      args: [...argv],
      allowPositionals: true,
      options: {
        'planned-s': { type: 'string' },
        'capacity-nm': { type: 'string' },
        'level-nm': { type: 'string', multiple: true },
        direction: { type: 'string' },
        'onset-nm': { type: 'string' },
        'anti-alias-hz': { type: 'string' },
        calibration: { type: 'string' },
        json: { type: 'boolean', default: false },
        help: { type: 'boolean', default: false },
      },
    });
  } catch (error) {
    // Node's own words for an option that does not exist; anything else is a bug.
    if (!(error instanceof TypeError)) throw error;
    throw refusal(`${error.message}\n\n${usage}`);
  }
}

function positive(name: string, text: string | undefined): number | null {
  return text === undefined ? null : toPositive(name, text);
}

function toPositive(name: string, text: string): number {
  const value = Number(text);
  if (text.trim() !== '' && Number.isFinite(value) && value > 0) return value;
  throw refusal(`${name} takes a number above 0, with a decimal point; "${text}" is not.`);
}

function readDirection(text: string | undefined): Direction | null {
  if (text === undefined || text === 'forward' || text === 'reverse') return text ?? null;
  throw refusal(`--direction takes forward or reverse; "${text}" is neither.`);
}

function readText(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    throw refusal(
      `The file ${file} could not be read: ${error instanceof Error ? error.message : String(error)}.`,
    );
  }
}

function refusal(message: string): AppError {
  return new AppError('input-out-of-range', message);
}
