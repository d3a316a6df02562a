import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readCsv } from '../../../../main/catalogue/read-csv.ts';
import type { CatalogueTool, ToolDetails } from '../../../../shared-lib/catalogue/catalogue-model.ts';
import { planImport } from '../../../../shared-lib/catalogue/plan-import.ts';
import { MOST_ROWS, readCatalogueTable } from '../../../../shared-lib/catalogue/read-catalogue-table.ts';
import { writeCatalogueTable } from '../../../../shared-lib/catalogue/write-catalogue-table.ts';
import { demoTool, kitPrice } from './demo-tools.ts';

const hollin = demoTool('tool-1', 'Hollin H5', {
  tool: { declaredVibrationMps2: 12.5, declaredNoiseDbA: 98 },
  details: {
    maker: 'Hollin (demo)',
    model: 'H5',
    toolClass: 'impactWrench',
    driveSize: 'square12.5',
    lengthM: 0.1834,
    massBareKg: 1.9,
    massLoadedKg: 2.5,
    claims: [
      { id: 'c1', kind: 'fastening', torqueNm: 1084.6543, source: 'data sheet', statedOn: '2026-01-15' },
      { id: 'c2', kind: 'breakaway', torqueNm: 1500, source: 'box', statedOn: null },
    ],
    prices: [
      kitPrice({ id: 'p1' }),
      kitPrice({ id: 'p2', kind: 'bare', amount: 129.5 }),
      kitPrice({ id: 'p3', amount: 179, on: '2026-06-01', source: '' }),
    ],
    note: '=HYPERLINK("x") and “more”;\nsecond line, with a comma',
  },
});
const away = demoTool('tool-2', 'Hollin H5', { tool: { isArchived: true, supply: 'air' } });
const bare = demoTool('tool-3', '+Tarnwick, T6');
const merged = demoTool('tool-4', 'Holin H5', { mergedIntoToolId: 'tool-1', tool: { isArchived: true } });
const catalogue = [hollin, away, bare, merged];

function plan(csv: string, known: readonly CatalogueTool[] = catalogue) {
  let count = 0;
  const read = readCsv(csv);
  if ('problem' in read) throw new Error(read.problem);
  return planImport(readCatalogueTable(read.rows), known, () => `new-${(count += 1)}`);
}
const only = (csv: string, known?: readonly CatalogueTool[]) => {
  const { rows } = plan(csv, known);
  expect(rows).toHaveLength(1);
  return rows[0];
};
const detailsOf = (csv: string, known?: readonly CatalogueTool[]): ToolDetails | undefined =>
  plan(csv, known).entries[0]?.details;

describe('the file of the catalogue', () => {
  const csv = writeCatalogueTable(catalogue);

  it('has all but what was merged, a row for each claim and price', () => {
    const lines = readCsv(csv);
    expect('rows' in lines && lines.rows.map(({ cells }) => cells[0])).toEqual([
      'name',
      'Hollin H5',
      'Hollin H5',
      'Hollin H5',
      'Hollin H5',
      "'+Tarnwick, T6",
    ]);
    expect(csv).toContain(`"'=HYPERLINK(""x"") and “more”;\nsecond line, with a comma"`);
  });

  it('changes nothing when it is read again', () => {
    const { rows, entries } = plan(csv);
    expect(rows.map(({ name, outcome, remarks }) => [name, outcome, remarks])).toEqual([
      ['Hollin H5', 'same', []],
      ['Hollin H5', 'same', []],
      ['+Tarnwick, T6', 'same', []],
    ]);
    expect(entries).toEqual([]);
  });

  it('changes nothing when a spreadsheet saved it with semicolons, or with tabs', () => {
    const read = readCsv(csv);
    const records = 'rows' in read ? read.rows : [];
    for (const separator of [';', '\t']) {
      const again = records
        .map(({ cells }) => cells.map((cell) => `"${cell.replaceAll('"', '""')}"`).join(separator))
        .join('\n');
      expect(plan(again).rows.map(({ outcome }) => outcome)).toEqual(['same', 'same', 'same']);
    }
  });

  it('changes nothing when its numbers have decimal commas and its days are turned round', () => {
    const read = readCsv(csv);
    const records = 'rows' in read ? read.rows : [];
    const local = (cell: string): string =>
      cell.replace(/^(\d+)\.(\d+)$/, '$1,$2').replace(/^(\d{4})-(\d\d)-(\d\d)$/, '$3.$2.$1');
    const again = records
      .map(({ cells }) => cells.map((cell) => `"${local(cell).replaceAll('"', '""')}"`).join(';'))
      .join('\r\n');
    expect(again).toContain('1084,6543');
    expect(again).toContain('15.01.2026');
    expect(plan(again).rows.map(({ outcome }) => outcome)).toEqual(['same', 'same', 'same']);
  });

  it('changes nothing when it is read again, whatever its tools are named and noted', () => {
    // Characters that are no text are refused; others are stored without blanks around them.
    const text = fc
      .oneof(fc.string({ maxLength: 60 }), fc.string({ unit: 'grapheme', maxLength: 30 }))
      .map((value) => value.replace(/[\0-\u0008\u000b\u000c\u000e-\u001f\u007f\ufffd]/gu, '').trim());
    const number = fc.double({ min: 1e-9, max: 99, noNaN: true });
    fc.assert(
      fc.property(text, text, text, number, number, (name, source, note, massBareKg, torqueNm) => {
        const statedOn = null;
        const details: Partial<ToolDetails> = {
          note,
          maker: source,
          massBareKg,
          claims: [{ id: 'c', kind: 'fastening', torqueNm, source: `x${source}`, statedOn }],
          prices: [kitPrice({ amount: massBareKg, source }), kitPrice({ id: 'b', source: `${source}2` })],
        };
        const known = [demoTool('tool-1', `x${name}`.trim(), { details })];
        expect(plan(writeCatalogueTable(known), known).rows).toMatchObject([
          { outcome: 'same', remarks: [] },
        ]);
      }),
    );
  });

  it('becomes the same tools in an empty catalogue', () => {
    const { entries, newCount } = plan(csv, []);
    expect(newCount).toBe(3);
    expect(entries.map(({ tool }) => tool)).toEqual([hollin.tool, away.tool, bare.tool]);
    const withoutIds = (items: readonly { id: string }[] = []) => items.map((item) => ({ ...item, id: '' }));
    expect(withoutIds(entries[0]?.details.claims)).toEqual(withoutIds(hollin.details.claims));
    expect(withoutIds(entries[0]?.details.prices)).toEqual(withoutIds(hollin.details.prices));
    expect({ ...entries[0]?.details, claims: [], prices: [] }).toEqual({
      ...hollin.details,
      claims: [],
      prices: [],
    });
  });
});

describe('a file that was made by hand', () => {
  it('needs no more than what it says: the rest stays', () => {
    const { rows, entries } = plan('name,mass_bare_kg\nhollin h5,2.1\n');
    expect(rows).toMatchObject([{ line: 2, outcome: 'changed' }]);
    expect(rows[0]?.remarks).toEqual([
      'Name: “hollin h5” (was “Hollin H5”).',
      'Bare mass: 2.1\u202fkg (was 1.9\u202fkg).',
    ]);
    expect(entries[0]).toEqual({
      tool: { ...hollin.tool, name: 'hollin h5' },
      details: { ...hollin.details, massBareKg: 2.1 },
    });
  });

  it('clears what it has an empty cell for, and says so', () => {
    expect(only('name,mass_bare_kg,model\nHollin H5,,\n')?.remarks).toEqual([
      'Model: none (was “H5”).',
      'Bare mass: none (was 1.9\u202fkg).',
    ]);
  });

  it('may name other units in its header, and in its cells', () => {
    const details = detailsOf(
      'Name,Supply,Length (mm),mass bare [lb],Claim_kind,claim_torque_ftlbf,claim_source\nNew one,Battery,183,4,fastening,800,box\n',
    );
    expect(details?.lengthM).toBe(0.183);
    expect(details?.massBareKg).toBeCloseTo(4 * 0.45359237, 12);
    // 1 ft·lbf = 1.3558179483 N·m (0.3048 m x 0.45359237 kg x 9.80665 m/s²).
    expect(details?.claims[0]?.torqueNm).toBeCloseTo(800 * 0.3048 * 0.45359237 * 9.80665, 9);
    expect(
      detailsOf('name,claim_kind,claim_torque_nm,claim_source\nHollin H5,fastening,"800 ft·lbf",box\n')
        ?.claims[0]?.torqueNm,
    ).toBeCloseTo(1084.654, 3);
  });

  it('has several claims and prices as several rows, in any order and with or without the rest repeated', () => {
    const header = 'name,class,supply,price_kind,price_amount,price_currency,price_on';
    const rows = [
      'New one,,,kit,199,EUR,2026-03-01',
      'New one,impact wrench,battery,bare,99,EUR,2026-03-01',
      'New one,Impact Wrench,battery,kit,189,EUR,2026-04-01',
      'New one,,,kit,189,EUR,2026-04-01',
    ];
    const { rows: outcomes, entries } = plan([header, ...rows].join('\n'));
    expect(outcomes).toMatchObject([{ line: 2, name: 'New one', outcome: 'new' }]);
    expect(entries[0]?.details).toMatchObject({ toolClass: 'impactWrench' });
    expect(entries[0]?.details.prices.map(({ amount }) => amount)).toEqual([199, 99, 189]);
  });

  it('keeps the ids of claims that only say another torque', () => {
    const csv = writeCatalogueTable([hollin]).replace('1084.6543', '1100');
    const { rows, entries } = plan(csv);
    expect(entries[0]?.details.claims.map(({ id, torqueNm }) => [id, torqueNm])).toEqual([
      ['c1', 1100],
      ['c2', 1500],
    ]);
    expect(rows[0]?.remarks).toHaveLength(1);
    expect(rows[0]?.remarks[0]).toMatch(/^Claim changed: fastening, 1100/);
  });

  it('finds the one tool into which all of a name were merged, where it has that name too', () => {
    const into = demoTool('tool-6', 'Hollin H5', { tool: { isArchived: true } });
    const taken = { ...away, mergedIntoToolId: 'tool-6' };
    const { entries, newCount } = plan('name,maker\nhollin h5,Hollin (demo)\n', [taken, into]);
    expect(newCount).toBe(0);
    expect(entries.map(({ tool }) => tool.id)).toEqual(['tool-6']);
  });

  it('takes a name that several unmerged tools were put away under for a new tool', () => {
    const { entries } = plan('name,supply\nHollin H5,battery\n', [
      away,
      { ...away, tool: { ...away.tool, id: 'b' } },
    ]);
    expect(entries.map(({ tool }) => tool.id)).toEqual(['new-1']);
  });

  it('says of a new tool which one it perhaps is', () => {
    expect(only('name,supply\nHolin H5x,battery\n', [demoTool('t', 'Hollin H5x')])?.remarks).toEqual([
      'Perhaps it is there already: “Hollin H5x” and “Holin H5x” differ by a letter or two.',
    ]);
  });

  it('is told by the line on which a row begins, whatever its notes have', () => {
    const { rows } = plan('name,supply,note\nNew one,battery,"two\nlines"\nTarnwick T6,battery,\n');
    expect(rows.map(({ line }) => line)).toEqual([2, 4]);
  });

  it('skips rows without anything in them', () => {
    expect(plan('name,supply\n,\nNew one,battery\n , \n').rows).toMatchObject([{ line: 3, outcome: 'new' }]);
  });
});

describe('a file is refused, with line and column,', () => {
  const refused = (csv: string, known?: readonly CatalogueTool[]): string => {
    const row = only(csv, known);
    expect(row?.outcome).toBe('refused');
    expect(plan(csv, known).entries).toEqual([]);
    return `${row?.line}: ${row?.remarks.join(' ') ?? ''}`;
  };

  it('that is empty, has no header, or columns that are not known, twice or without their partners', () => {
    expect(refused('')).toContain('1: The file is empty');
    expect(refused('\n\n  \n')).toContain('The file is empty');
    expect(refused('Hollin H5,battery\n')).toMatch(
      /Line 1, column 1: the column “Hollin H5” is not known here/,
    );
    expect(refused('supply\nbattery\n')).toContain('Line 1: the header has no column name');
    expect(refused('name,name\na,b\n')).toContain('Line 1, column 2: “name” is there twice');
    expect(refused('name,price_amount\na,1\n')).toMatch(/no column price_kind/);
    expect(refused('name,claim_torque_nm,claim_kind\na,1,b\n')).toMatch(/no column claim_source/);
  });

  it('with a unit that is not known, in header or cell', () => {
    expect(refused('name,length_furlong\na,1\n')).toMatch(
      /Line 1, column 2: the column “length_furlong” does not name a unit known here\. Use length_m or length_mm/,
    );
    expect(refused('name,length\na,1\n')).toContain('does not name a unit');
    expect(refused('name,mass_bare_kg\nHollin H5,2 stone\n')).toMatch(
      /Line 2, column mass_bare_kg: “stone” is not a unit known here\. Use kg, g or lb/,
    );
    expect(
      refused('name,claim_kind,claim_torque_nm,claim_source\nHollin H5,fastening,1200 bar,box\n'),
    ).toMatch(/Line 2, column claim_torque_nm: “bar” is not a unit/);
  });

  it('with a number that could mean two, is none, or is out of range', () => {
    expect(refused('name,mass_bare_kg\nHollin H5,"1,250"\n')).toContain('could mean 1250 or 1.250');
    expect(refused('name,mass_bare_kg\nHollin H5,heavy\n')).toContain('does not begin with a number');
    expect(refused('name,mass_bare_kg\nHollin H5,-2\n')).toContain(
      'more than 0\u202fkg and at most 100\u202fkg',
    );
    expect(refused('name,mass_bare_kg\nHollin H5,0\n')).toContain('more than 0');
    expect(refused('name,length_m\nHollin H5,183\n')).toContain('at most 10\u202fm');
    expect(refused('name,noise_dba\nHollin H5,12\n')).toContain('from 40\u202fdB(A) to 150\u202fdB(A)');
  });

  it('with a class, drive, supply or kind that is not known, naming the ones that are', () => {
    expect(refused('name,class\nHollin H5,hammer\n')).toMatch(
      /Line 2, column class: “hammer” is not known here\. Write one of: impact wrench, .*, other\./,
    );
    expect(refused('name,drive\nHollin H5,square 7\n')).toContain('square 6.3, square 10, square 12.5');
    expect(refused('name,supply\nNew one,steam\n')).toContain('battery, mains, air, hand');
    expect(refused('name,claim_kind,claim_torque_nm,claim_source\nHollin H5,maximum,1200,box\n')).toContain(
      'fastening, breakaway',
    );
    expect(refused('name,archived\nHollin H5,maybe\n')).toContain('neither yes nor no');
  });

  it('with a currency or a day that is none, or a price without its rest', () => {
    const header = 'name,price_kind,price_amount,price_currency,price_on\n';
    expect(refused(`${header}Hollin H5,kit,199,€,2026-03-01\n`)).toMatch(
      /Line 2, column price_currency: “€” is no currency.*EUR/,
    );
    expect(refused(`${header}Hollin H5,kit,199,Euro,2026-03-01\n`)).toContain('“Euro” is no currency');
    for (const day of ['2026-02-30', '03/01/2026', '1.3.26', '31.02.2026', 'yesterday']) {
      expect(refused(`${header}Hollin H5,kit,199,EUR,${day}\n`)).toContain(`“${day}” is no day`);
    }
    expect(refused(`${header}Hollin H5,kit,,EUR,2026-03-01\n`)).toContain('column price_amount: it is empty');
  });

  it('with the same tool in two classes, or told in two ways', () => {
    expect(refused('name,supply,class\nNew one,battery,drill\nNew one,,impact wrench\n')).toMatch(
      /2: Line 3, column class: “impact wrench”, but line 2 has “drill” for the same tool\. A tool stands in one class\./,
    );
    expect(refused('name,supply,mass_bare_kg\nNew one,battery,1.9\nnew one,battery,2\n')).toContain(
      'line 2 has “1.9”',
    );
  });

  it('with one tool as two, a name that another has, or what was merged', () => {
    const twice = plan('name,supply,tool_id\nHollin H5,battery,tool-1\nHollin H5,battery,other\n').rows;
    expect(twice.map(({ outcome }) => outcome)).toEqual(['same', 'refused']);
    expect(twice[1]?.remarks[0]).toBe(
      'Line 3 is the same tool as line 2. Put it there once, or give two tools two names.',
    );
    const newTwice = plan('name,supply,tool_id\nNew one,battery,x\nNEW ONE,battery,y\n').rows;
    expect(newTwice[1]?.remarks[0]).toContain('is the same tool as line 2');
    expect(refused('name,tool_id\nHollin H5,tool-3\n')).toContain(
      'there is another tool “Hollin H5” already',
    );
    expect(refused('name\nHolin H5\n')).toContain('“Holin H5” was merged into “Hollin H5”');
    const twin = { ...merged, tool: { ...merged.tool, id: 'tool-5', name: 'HOLIN H5' } };
    for (const csv of ['name\nholin h5\n', 'name,supply\nholin h5,battery\n']) {
      expect(refused(csv, [...catalogue, twin])).toContain('“holin h5” was merged into “Hollin H5”');
    }
    const onward = { ...hollin, mergedIntoToolId: 'tool-3', tool: { ...hollin.tool, isArchived: true } };
    expect(refused('name\nHolin H5\n', [onward, bare, merged])).toContain('was merged into “+Tarnwick, T6”');
    expect(refused('name\nNobody\n')).toContain('a new tool needs one. Write battery, mains, air or hand.');
    expect(refused('name,supply\n,battery\n')).toContain('each row needs the name of its tool');
  });

  it('with contradictions, rows of another length, or characters that are no text', () => {
    expect(refused('name,mass_bare_kg,mass_loaded_kg\nHollin H5,2.5,1.9\n')).toContain(
      'less than the bare mass',
    );
    expect(refused('name,mass_bare_kg\nHollin H5,1,9\n')).toContain(
      'Line 2 has 3 cells and the header has 2',
    );
    expect(refused('name,mass_bare_kg\nHollin H5\n')).toContain('has 1 cells');
    expect(refused('name,note\nHollin H5,caf\ufffd\n')).toMatch(/Line 2, column 2.*UTF-8/);
    expect(refused(`name,note\nHollin H5,${'x'.repeat(2001)}\n`)).toContain(
      '2001 characters, and 2000 is the most',
    );
  });

  it('with two prices in one place, for one reason alone', () => {
    const price = 'kit,EUR,2026-03-01,shop';
    const header = 'name,price_kind,price_currency,price_on,price_source,price_amount\n';
    const why = refused(`${header}Hollin H5,${price},199\nHollin H5,${price},189\n`);
    expect(why).toContain('Two prices of one kind, currency, source and day differ');
    expect(why).not.toContain('same id');
  });

  it('that has more rows than a catalogue', () => {
    const rows = Array.from({ length: MOST_ROWS + 1 }, (_, index) => `Tool ${index},battery`);
    expect(refused(['name,supply', ...rows].join('\n'))).toContain('more than the 5000');
  });

  it('that is no table', () => {
    expect(readCsv('name,note\na,"open\n')).toMatchObject({
      line: expect.any(Number),
      problem: expect.stringContaining('quotation mark'),
    });
  });
});
