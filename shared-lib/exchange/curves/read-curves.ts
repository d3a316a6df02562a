import {
  NEWTON_METRES_PER_FOOT_POUND_FORCE,
  NEWTON_METRES_PER_INCH_POUND_FORCE,
  NEWTON_METRES_PER_KILOGRAM_FORCE_METRE,
} from '../../quantities.ts';
import { evenTimes } from '../../signal/even-times.ts';
import { MIN_MEASURING_RATE_HZ } from '../../signal/measuring-curve.ts';
import type { SlotRange } from '../../signal/sample-block.ts';
import type { CurveMapping } from '../exchange-requests.ts';
import { readNumber } from './number-cells.ts';

/** A torque column as a record: whole numbers of 32 bits on an even clock. */
export interface ReadCurve {
  readonly label: string;
  readonly sampleRateHz: number;
  /** The whole rate nearest to it, where it is that near; it rules windows. */
  readonly nominalRateHz: number;
  /** Torque is this times the counts; the counts are the digits of the file. */
  readonly gainNmPerCount: number;
  /** Slots named by a gap hold 0. */
  readonly counts: Int32Array;
  readonly gaps: readonly SlotRange[];
}

export interface ReadCurves {
  readonly columns: readonly string[];
  /** The first ones, as they stand in the file. */
  readonly rows: readonly (readonly string[])[];
  readonly rowCount: number;
  /** Empty where there is a problem. */
  readonly curves: readonly ReadCurve[];
  /** Each stops the import and names its line. */
  readonly problems: readonly string[];
  readonly remarks: readonly string[];
}

export interface CurveReader {
  /** `line` counts from 1, as an editor shows it. */
  readonly takeRow: (cells: readonly string[], line: number) => void;
  readonly finish: () => ReadCurves;
}

const SHOWN_ROWS = 6;
const TOLD_PROBLEMS = 10;
const MOST_COUNTS = 2 ** 31 - 1;
/** A rate this near to a whole one is taken for it where windows are counted in samples. */
const NOMINAL_SHARE = 0.005;

const newtonMetresPer: Record<CurveMapping['torqueUnit'], number> = {
  Nm: 1,
  ftLbf: NEWTON_METRES_PER_FOOT_POUND_FORCE,
  inLbf: NEWTON_METRES_PER_INCH_POUND_FORCE,
  kgfm: NEWTON_METRES_PER_KILOGRAM_FORCE_METRE,
};

/**
 * Reads rows of cells as curves. Nothing is put right: what is no number, a time off the even clock, digits that do not fit, each is
 * a problem with its line. An empty cell of torque, or a line that is missing on the even clock, is a lost sample.
 */
export function createCurveReader(mapping: CurveMapping): CurveReader {
  const { timeColumn, torqueColumns, decimal, hasHeader } = mapping;
  const problems = createProblems();
  const remarks: string[] = [];
  const rows: string[][] = [];
  const times: number[] = [];
  const lines: number[] = [];
  const torques = torqueColumns.map((): number[] => []);
  let columns: string[] | null = null;
  let rowCount = 0;
  let timeDecimals = 0;
  let torqueDecimals = 0;

  const takeTime = (cells: readonly string[], line: number): number => {
    if (timeColumn === null) return rowCount;
    const cell = cells[timeColumn] ?? '';
    const read = readNumber(cell, decimal);
    if (read === null) problems.add(line, `“${cell.trim()}” is not a time. ${numberAdvice(cell, decimal)}`);
    timeDecimals = Math.max(timeDecimals, read?.decimals ?? 0);
    return read?.value ?? Number.NaN;
  };
  const takeTorque = (cell: string, line: number): number => {
    if (cell.trim() === '') return Number.NaN;
    const read = readNumber(cell, decimal);
    if (read === null) problems.add(line, `“${cell.trim()}” is not a torque. ${numberAdvice(cell, decimal)}`);
    torqueDecimals = Math.max(torqueDecimals, read?.decimals ?? 0);
    return read?.value ?? Number.NaN;
  };

  return {
    takeRow(cells, line) {
      if (columns === null) {
        columns = namesOf(cells, hasHeader);
        const last = Math.max(timeColumn ?? 0, ...torqueColumns);
        if (last >= columns.length) {
          problems.add(line, `there are ${columns.length} columns, and column ${last + 1} was asked for.`);
        }
        if (hasHeader) return;
      }
      if (rows.length < SHOWN_ROWS) rows.push([...cells]);
      times.push(takeTime(cells, line));
      lines.push(line);
      torqueColumns.forEach((column, index) => torques[index]?.push(takeTorque(cells[column] ?? '', line)));
      rowCount += 1;
    },

    finish() {
      const named = columns ?? [];
      if (rowCount < 2) problems.addPlain('A curve needs at least two lines of numbers.');
      if (timeColumn !== null && torqueColumns.includes(timeColumn)) {
        problems.addPlain(
          'One column cannot be time and torque at once. Choose another one for one of them.',
        );
      }
      if (new Set(torqueColumns).size < torqueColumns.length) {
        problems.addPlain('A column was chosen twice for torque. Choose each one once.');
      }
      const clock = problems.isEmpty() ? clockOf(mapping, times, lines, timeDecimals, problems) : null;
      const digits = problems.isEmpty()
        ? digitsOf(mapping, torques, torqueDecimals, lines, problems, remarks)
        : null;
      const curves =
        clock === null || digits === null
          ? []
          : torqueColumns.map((column, index) => ({
              label: named[column] ?? `column ${column + 1}`,
              sampleRateHz: clock.sampleRateHz,
              nominalRateHz: nominalRate(clock.sampleRateHz),
              gainNmPerCount: newtonMetresPer[mapping.torqueUnit] / 10 ** digits,
              ...recordOf(torques[index] ?? [], clock.slots, 10 ** digits),
            }));
      for (const { label, counts } of curves) {
        if (counts.length < 2) problems.addPlain(`The column “${label}” has no curve in it.`);
      }
      return {
        columns: named,
        rows,
        rowCount,
        curves: problems.isEmpty() ? curves : [],
        problems: problems.list(),
        remarks,
      };
    },
  };
}

/** As the header names them; two of one name are told apart by their places. */
function namesOf(cells: readonly string[], hasHeader: boolean): string[] {
  const names = cells.map((cell) => (hasHeader ? cell.trim() : ''));
  const counts = new Map<string, number>();
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
  return names.map((name, index) => {
    if (name === '') return `column ${index + 1}`;
    return counts.get(name) === 1 ? name : `${name} (column ${index + 1})`;
  });
}

interface Clock {
  readonly sampleRateHz: number;
  /** Of each line, from 0. */
  readonly slots: Int32Array;
}

function clockOf(
  { timeColumn, timeUnit, sampleRateHz }: CurveMapping,
  times: readonly number[],
  lines: readonly number[],
  timeDecimals: number,
  problems: Problems,
): Clock | null {
  if (timeColumn === null) {
    if (sampleRateHz !== null)
      return checkedRate({ sampleRateHz, slots: Int32Array.from(times.keys()) }, problems);
    problems.addPlain('Without a column of times, say how many samples a second the lines are.');
    return null;
  }
  const perSecond = timeUnit === 'ms' ? 1000 : 1;
  const even = evenTimes(
    Float64Array.from(times, (time) => time / perSecond),
    10 ** -timeDecimals / perSecond,
  );
  if ('problem' in even) {
    problems.add(
      lines[even.index] ?? 1,
      `${even.problem}. A curve is measured from samples at one even rate, in order; lost ones may be left out. Export it with its own sample times and enough digits.`,
    );
    return null;
  }
  return checkedRate(even, problems);
}

function checkedRate({ sampleRateHz, slots }: Clock, problems: Problems): Clock | null {
  if (sampleRateHz >= MIN_MEASURING_RATE_HZ) return { sampleRateHz, slots };
  problems.addPlain(
    `The lines come at ${sampleRateHz.toPrecision(3)} Sa/s, and under ${MIN_MEASURING_RATE_HZ} Sa/s nothing can be measured. If the times are in milliseconds, say so.`,
  );
  return null;
}

/** How many digits behind the decimal sign are kept; null with a problem where they do not fit into 32 bits. */
function digitsOf(
  { decimals }: CurveMapping,
  torques: readonly (readonly number[])[],
  torqueDecimals: number,
  lines: readonly number[],
  problems: Problems,
  remarks: string[],
): number | null {
  const digits = decimals === null ? torqueDecimals : Math.min(decimals, torqueDecimals);
  let largest = { value: 0, row: 0 };
  for (const column of torques) {
    column.forEach((value, row) => {
      if (Math.abs(value) > Math.abs(largest.value)) largest = { value, row };
    });
  }
  if (Math.round(Math.abs(largest.value) * 10 ** digits) > MOST_COUNTS) {
    const fitting = Math.floor(Math.log10(MOST_COUNTS / Math.abs(largest.value)));
    problems.add(
      lines[largest.row] ?? 1,
      fitting < 0
        ? `a torque of ${largest.value} is more than can be stored.`
        : `${largest.value} with ${digits} digits behind the decimal sign does not fit into the whole numbers of 32 bits that samples are stored as. Choose to keep ${Math.min(9, fitting)} of them; that rounds what is stored, and the trial will say so.`,
    );
    return null;
  }
  if (digits < torqueDecimals) {
    remarks.push(
      `The torque is rounded to ${digits} digits behind the decimal sign; the file has up to ${torqueDecimals}.`,
    );
  }
  return digits;
}

/** From the first to the last value there is. */
function recordOf(
  values: readonly number[],
  slots: Int32Array,
  countsPerUnit: number,
): Pick<ReadCurve, 'counts' | 'gaps'> {
  const first = values.findIndex((value) => !Number.isNaN(value));
  const last = values.findLastIndex((value) => !Number.isNaN(value));
  if (first < 0) return { counts: new Int32Array(0), gaps: [] };
  const start = slots[first] ?? 0;
  const counts = new Int32Array((slots[last] ?? 0) - start + 1);
  const gaps: SlotRange[] = [];
  let end = 0;
  for (let row = first; row <= last; row += 1) {
    const value = values[row] ?? Number.NaN;
    if (Number.isNaN(value)) continue;
    const slot = (slots[row] ?? 0) - start;
    // The nearest whole number is the digits of the file: a double is off by far less than half of the last one.
    counts[slot] = Math.round(value * countsPerUnit);
    if (slot > end) gaps.push({ offset: end, length: slot - end });
    end = slot + 1;
  }
  return { counts, gaps };
}

function nominalRate(sampleRateHz: number): number {
  const whole = Math.round(sampleRateHz);
  return Math.abs(sampleRateHz - whole) <= NOMINAL_SHARE * sampleRateHz ? whole : sampleRateHz;
}

function numberAdvice(cell: string, decimal: CurveMapping['decimal']): string {
  const other = decimal === '.' ? ',' : '.';
  return cell.includes(other)
    ? `Numbers are read with “${decimal}” before their decimals; choose “${other}” if the file has that. Thousands are not grouped.`
    : 'A sample that was lost has no line, or an empty cell; nothing is filled in for it.';
}

interface Problems {
  readonly add: (line: number, what: string) => void;
  readonly addPlain: (sentence: string) => void;
  readonly isEmpty: () => boolean;
  readonly list: () => string[];
}

/** The first ones in full: a wrong decimal sign would make one of every line. */
function createProblems(): Problems {
  const told: string[] = [];
  let count = 0;
  const addPlain = (sentence: string): void => {
    count += 1;
    if (told.length < TOLD_PROBLEMS) told.push(sentence);
  };
  return {
    add(line, what) {
      addPlain(`Line ${line}: ${what}`);
    },
    addPlain,
    isEmpty: () => count === 0,
    list: () => (count > told.length ? [...told, `And ${count - told.length} more like these.`] : [...told]),
  };
}
