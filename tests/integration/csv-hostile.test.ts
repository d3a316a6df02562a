import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readCsv } from '../../main/catalogue/read-csv.ts';
import { readCurvesFile } from '../../main/exchange/curves-file.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { type CatalogueTable, readCatalogueTable } from '../../shared-lib/catalogue/read-catalogue-table.ts';
import { unprotectCell } from '../../shared-lib/catalogue/csv-cells.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

/** Files that are made to be choked on. The whole test ends by its limit where one of them is worked on for long. */
function curvesOf(content: string | Uint8Array) {
  const path = join(temporaryFolder(), 'curves.csv');
  writeFileSync(path, content);
  return readCurvesFile(path, 'curves.csv', null).read;
}

function refusalOf(content: string | Uint8Array): AppError {
  try {
    curvesOf(content);
  } catch (error) {
    if (error instanceof AppError) return error;
    throw error;
  }
  throw new Error('It was not refused');
}

const lines = (count: number): string =>
  Array.from({ length: count }, (_, line) => `${(line / 1000).toFixed(3)},${line % 7}\n`).join('');
const good = `time_s,torque_nm\n${lines(1000)}`;

describe('a file of curves that is a trap', () => {
  it('is told from one that is none, with ends of lines of every kind and a thousand lines of a cell each', () => {
    for (const end of ['\n', '\r\n', '\r']) {
      expect(curvesOf(good.replaceAll('\n', end))).toMatchObject({ problems: [], rowCount: 1000 });
    }
  });

  it.each([
    ['a million columns', ',\n1,2\n', ','],
    ['a million columns with names', 'a1,\n', 'a1,'],
    ['a cell that never ends', 'time_s,torque_nm\n9,1\n', '9'],
    ['no end of a line', 'x', 'x'],
  ])('is refused where it has %s, before it is taken apart', (_, start, piece) => {
    const content = start + piece.repeat(5_000_000);
    expect(refusalOf(content)).toMatchObject({
      code: 'import-refused',
      message: expect.stringContaining('a line of it has more than 65536 signs') as string,
    });
  });

  it('is refused where a cell in quotation marks goes on over all of its lines', () => {
    const { problems, curves } = curvesOf(`time_s,torque_nm\n"${lines(200_000)}"\n`);
    expect(curves).toEqual([]);
    expect(problems[0]).toMatch(/the file is no table there/);
  });

  it('with a hundred thousand numbers that are none tells ten of them', () => {
    const { problems, curves } = curvesOf(`time_s,torque_nm\n${'x,y\n'.repeat(100_000)}`);
    expect(curves).toEqual([]);
    expect(problems.length).toBeLessThanOrEqual(11);
  });

  it.each([
    ['a formula', '=1+1'],
    ['a formula that starts a program', `=cmd|' /C calc'!A0`],
    ['a formula that looks like a number', '+1+1'],
    ['hexadecimal', '0x10'],
    ['endless', 'Infinity'],
    ['too large for any number', '1e999'],
    ['none', 'NaN'],
    ['a number with a NUL behind it', '1\0'],
    ['a number in other digits', '١٢'],
    ['a number with a sign that reads backwards', '\u202e1'],
    ['two numbers', '1 2'],
  ])('takes no torque that is %s', (_, cell) => {
    const { problems, curves } = curvesOf(`${good}1.000,"${cell}"\n`);
    expect(curves).toEqual([]);
    expect(problems.join()).toMatch(/^Line 1002: .*is not a torque/);
  });

  it.each([
    ['bytes of a program', Uint8Array.from([0x7f, 0x45, 0x4c, 0x46, 2, 1, 1, 0, 0, 0])],
    ['a ZIP', Uint8Array.from([0x50, 0x4b, 3, 4, 20, 0, 0, 0])],
    ['half a pair of UTF-16', Uint8Array.from([0xff, 0xfe, 0x00, 0xd8])],
  ])('is no curve where it is %s', (_, bytes) => {
    try {
      expect(curvesOf(bytes)).toMatchObject({ curves: [] });
    } catch (error) {
      expect(error).toMatchObject({ code: 'import-refused' });
    }
  });

  it('keeps names of columns that a parser or a page could take for its own as they are', () => {
    const { columns } = curvesOf(
      good.replace('torque_nm', '__proto__').replace('time_s', '<img src=x onerror=alert(1)>'),
    );
    expect(columns).toEqual(['<img src=x onerror=alert(1)>', '__proto__']);
  });
});

describe('a catalogue that is a trap', () => {
  const tableOf = (csv: string): CatalogueTable => {
    const read = readCsv(csv);
    if ('problem' in read) return { tools: [], problems: [read] };
    return readCatalogueTable(read.rows);
  };

  it.each([
    [
      'a hundred thousand columns',
      Array.from({ length: 100_000 }, (_, n) => `c${n}`).join(),
      /100000 columns/,
    ],
    ['columns of nothing', `name${','.repeat(700_000)}`, /700001 columns/],
    ['more rows than a workshop has tools', `name\n${'a\n'.repeat(390_000)}`, /390000 rows, more than/],
    ['quotation marks without end', `name\n"${'"'.repeat(700_000)}`, /no table there/],
  ])('with %s is refused in one sentence', (_, csv, told) => {
    const { tools, problems } = tableOf(csv);
    expect(tools).toEqual([]);
    expect(problems).toHaveLength(1);
    expect(problems[0]?.problem).toMatch(told);
    expect(problems[0]?.problem.length).toBeLessThan(400);
  });

  it('with a name of half a million letters does not repeat it', () => {
    const [tool] = tableOf(`name\n${'x'.repeat(500_000)}\n`).tools;
    expect(tool?.problems).toHaveLength(1);
    expect(tool?.problems[0]?.length).toBeLessThan(400);
  });

  it.each(['\0', '\u0007', '\u001b[2J', '\u007f'])('takes no text with the sign %j in it', (sign) => {
    const { tools, problems } = tableOf(`name,note\nHollin H5 (demo),a${sign}b\n`);
    expect([...problems, ...tools.flatMap((tool) => tool.problems)]).not.toEqual([]);
  });

  it('takes a formula as the text that it is, and gives it out again as one that no spreadsheet runs', () => {
    const { tools } = tableOf(`name,note\nHollin H5 (demo),"=HYPERLINK(""http://evil.example"")"\n`);
    expect(tools[0]?.fields).toMatchObject({ note: '=HYPERLINK("http://evil.example")' });
    expect(unprotectCell(`'=1+1`)).toBe('=1+1');
  });
});
