import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { zipSync } from 'fflate';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { AppError } from '../../shared-lib/app-error.ts';
import { createPackageBench, type PackageBench } from './package-support/package-bench.ts';
import {
  type PackageParts,
  partsOf,
  patchHeaders,
  resealed,
  smallBench,
  smallTrial,
  textOf,
  withDescriptor,
  withText,
  writeParts,
} from './package-support/package-parts.ts';

/** Packages come from strangers: each of these is refused with where and why, and leaves nothing. */
let maker: PackageBench;
let taker: PackageBench;
let zip: Uint8Array;
let parts: PackageParts;

beforeAll(async () => {
  maker = await smallBench();
  taker = createPackageBench({ id: 'bench-b', name: 'Bench B' });
  const file = await maker.write('good.zip');
  zip = readFileSync(file);
  parts = partsOf(file);
}, 60_000);

afterAll(() => {
  maker.remove();
  taker.remove();
});

let count = 0;
async function refusalOf(bytes: Uint8Array): Promise<AppError> {
  count += 1;
  const file = join(taker.folder, `hostile-${count}.zip`);
  writeFileSync(file, bytes);
  const refused = await taker.preview(file).then(
    () => null,
    (error: unknown) => error,
  );
  if (!(refused instanceof AppError)) throw new Error('It was not refused', { cause: refused });
  expect(refused.code).toBe('package-invalid');
  expect(refused.message).toContain('Nothing was taken in');
  expect(taker.leftBehind()).toEqual([]);
  return refused;
}

const counts = `data/counts/${smallTrial}.csv`;
const link = { os: 3, attrs: 0o120777 << 16 };

describe('a ZIP that is a trap', () => {
  it.each([
    ['climbs out', '../outside.csv', /climbs out of the package/],
    ['climbs out further down', 'data/../../outside.csv', /climbs out/],
    ['is absolute', '/etc/outside.csv', /begins at the root of a disk/],
    ['names a drive', 'C:/outside.csv', /begins at the root of a disk/],
    ['has backslashes', '..\\outside.csv', /has a backslash/],
    ['has other signs', 'data/a\u0000b.csv', /has other signs/],
    ['differs from another one in capitals only', 'DATA/trial.csv', /differ in capitals only/],
  ])('is refused where a name %s', async (_, name, problem) => {
    const { message } = await refusalOf(zipSync({ ...parts, [name]: Buffer.from('x') }));
    expect(message).toMatch(problem);
  });

  it('is refused where a file is in it twice', async () => {
    const twice = zipSync({ ...parts, 'data/trial.csw': Buffer.from('x') });
    const patched = patchHeaders(twice, 'data/trial.csw', (header, _, nameOffset) => {
      header.setUint8(nameOffset + 'data/trial.cs'.length, 'v'.charCodeAt(0));
    });
    expect((await refusalOf(patched)).message).toContain('is in it twice');
  });

  it('is refused where it holds a link', async () => {
    const linked = zipSync({ ...parts, 'data/link.csv': [Buffer.from('/etc/passwd'), link] });
    expect((await refusalOf(linked)).message).toContain('is a link');
  });

  it('is refused where a file is encrypted', async () => {
    const encrypted = patchHeaders(zip, counts, (header, isCentral) => {
      const at = isCentral ? 8 : 6;
      header.setUint16(at, header.getUint16(at, true) | 1, true);
    });
    expect((await refusalOf(encrypted)).message).toContain('is encrypted');
  });

  it('is refused by its directory where it would unpack to a thousand times its size', async () => {
    const bomb = zipSync({ ...parts, 'data/zeros.csv': new Uint8Array(64 * 2 ** 20) });
    expect(bomb.length).toBeLessThan(2 ** 20);
    expect((await refusalOf(bomb)).message).toContain('taken for a trap');
  });

  it('is refused as it unpacks where it says less than there is', async () => {
    const lying = patchHeaders(zip, counts, (header, isCentral) => {
      if (isCentral) header.setUint32(24, 12, true);
    });
    const descriptorFits = resealed(parts);
    expect(descriptorFits[counts]?.length).toBeGreaterThan(12);
    expect((await refusalOf(lying)).message).toMatch(/has 12 bytes|not as long as it says/);
  });

  it('is refused where files share the same bytes', async () => {
    const overlapping = patchHeaders(zip, counts, (header, isCentral) => {
      if (isCentral) header.setUint32(20, 0x7fffffff, true);
    });
    expect((await refusalOf(overlapping)).message).toMatch(/overlap/);
  });

  it.each([
    ['cut off', () => zip.subarray(0, zip.length - 40)],
    ['cut in its middle', () => zip.subarray(0, zip.length >> 1)],
    ['empty', () => new Uint8Array()],
    ['no ZIP at all', () => Buffer.from('slot,counts\r\n0,1\r\n')],
  ])('is refused where it is %s', async (_, bytes) => {
    expect((await refusalOf(bytes())).message).toContain('no ZIP');
  });

  it('is refused where its packed bytes are damaged', async () => {
    const damaged = Uint8Array.from(zip);
    // Somewhere in the first file.
    damaged.set([0xff, 0xff, 0xff, 0xff], 120);
    await refusalOf(damaged);
  });
});

describe('a ZIP with a byte that is another', () => {
  it('is refused as a package or read as the one it was, whichever byte it is', async () => {
    const good = await taker.preview(join(maker.folder, 'good.zip'));
    await fc.assert(
      fc.asyncProperty(
        fc.nat({ max: zip.length - 1 }),
        fc.integer({ min: 1, max: 255 }),
        async (at, change) => {
          const changed = Uint8Array.from(zip);
          changed[at] = (changed[at] ?? 0) ^ change;
          const file = join(taker.folder, 'changed.zip');
          writeFileSync(file, changed);
          const outcome = await taker.preview(file).catch((error: unknown) => error);
          // Times, comments and the like of the ZIP itself carry nothing.
          if (outcome instanceof AppError) expect(outcome.code).toBe('package-invalid');
          else expect(outcome).toEqual(good);
          expect(taker.leftBehind()).toEqual([]);
        },
      ),
      { numRuns: 60 },
    );
  }, 120_000);
});

describe('a package with other content than it says', () => {
  const refusalOfParts = (changed: PackageParts): Promise<AppError> => refusalOf(zipSync(changed));
  const without = (path: string): PackageParts =>
    Object.fromEntries(Object.entries(parts).filter(([name]) => name !== path));

  it('is refused where a count was changed', async () => {
    const { message } = await refusalOfParts(
      withText(parts, counts, (text) => text.replace('1,2\r\n', '1,3\r\n')),
    );
    expect(message).toContain(counts);
    expect(message).toContain('SHA-256');
  });

  it('is refused where a file is longer or shorter than it says', async () => {
    const longer = withText(parts, counts, (text) => `${text}9,9\r\n`);
    expect((await refusalOfParts(longer)).message).toMatch(/bytes, and datapackage.json says/);
  });

  it.each([counts, 'data/trial.csv', 'README.md'])('is refused without %s', async (path) => {
    const { message } = await refusalOfParts(without(path));
    expect(message).toContain(`${path}: The file is missing`);
  });

  it('is refused without datapackage.json, and with files that it does not name', async () => {
    expect((await refusalOfParts(without('datapackage.json'))).message).toContain('no data package');
    const more = { ...parts, 'data/more.csv': Buffer.from('x') };
    expect((await refusalOfParts(more)).message).toContain('does not name this file');
  });

  it('is refused where a table or a trial is not named in datapackage.json either', async () => {
    const dropped = withDescriptor(without('data/trial_fault.csv'), (descriptor) => {
      descriptor.resources = descriptor.resources.filter(({ path }) => path !== 'data/trial_fault.csv');
    });
    expect((await refusalOfParts(dropped)).message).toContain('data/trial_fault.csv: The file is missing');
  });

  it.each([
    ['format', 2],
    ['schemaVersion', 9999],
    ['definitionVersion', 9999],
  ])('is refused where its %s is newer than ours', async (key, value) => {
    const newer = withDescriptor(parts, ({ proofarm }) => {
      proofarm[key] = value;
    });
    expect((await refusalOfParts(newer)).message).toContain('newer version of the program');
  });

  it.each([
    ['is no number', 'format', 'one'],
    ['is too old', 'schemaVersion', 70],
    ['is unknown', 'bench', { id: '', name: '' }],
  ])('is refused where what it says of itself %s', async (_, key, value) => {
    const other = withDescriptor(parts, ({ proofarm }) => {
      proofarm[key] = value;
    });
    await refusalOfParts(other);
  });

  it.each([
    ['a column is missing', 'data/trial.csv', /,planned_s,/, ',', /planned_s is missing/],
    ['a column is unknown', 'data/trial.csv', /^id,/, 'id,secret,', /"secret" is not known/],
    ['columns change places', 'data/tool.csv', /^id,name/, 'name,id', /their order is another/],
  ])('is refused where %s', async (_, path, find, replacement, problem) => {
    const { message } = await refusalOfParts(
      resealed(withText(parts, path, (text) => text.replace(find, replacement))),
    );
    expect(message).toContain(`${path}, line 1`);
    expect(message).toMatch(problem);
  });

  it.each([
    [
      'a count is no whole number',
      counts,
      '1,2',
      '1,2.5',
      /counts\/trial-1.csv, line 3: .*two whole numbers/,
    ],
    ['counts do not fit into 32 bits', counts, '1,2', '1,2147483648', /line 3: .*32 bits/],
    ['a slot comes twice', counts, '1,2', '0,2', /line 3: Slot 0 does not come after/],
    ['a slot lies behind the record', counts, '2,3', '3,3', /line 4: Slot 3 lies behind the end/],
    ['a state is unknown', 'data/trial.csv', ',kept,', ',great,', /trial.csv, line 2: state is "great"/],
    [
      'a planned time is negative',
      'data/trial.csv',
      ',forward,5,',
      ',forward,-5,',
      /line 2: .*planned_s > 0/,
    ],
    ['a flag is neither', 'data/trial.csv', ',forward,5,1,', ',forward,5,2,', /line 2: is_simulated is "2"/],
    [
      'a number is none',
      'data/calibration.csv',
      '0.00025',
      'NaN',
      /line 2: forward_gain_nm_per_count is "NaN"/,
    ],
    ['a number is endless', 'data/calibration.csv', '0.00025', '1e999', /line 2: .*is no number/],
    ['a time is none', 'data/session.csv', '2026-03-04T', '2026-13-04T', /line 2: started_at is/],
    ['an id is none', 'data/trial.csv', '\ntrial-1,', '\n../trial,', /line 2: id is .*name of a file/],
    [
      'a session is not there',
      'data/trial.csv',
      ',session-1,',
      ',session-9,',
      /session_id is "session-9", and there is no such row in data\/session.csv/,
    ],
    [
      'a calibration is of another transducer',
      'data/trial.csv',
      ',calibration-1,',
      ',calibration-9,',
      /calibration_id is "calibration-9"/,
    ],
    ['a trial is there twice', 'data/trial.csv', '\ntrial-2,', '\ntrial-1,', /line 3: .*twice/],
    [
      'figures are other than the program writes',
      'data/trial_evaluation.csv',
      '""windowS""',
      '""windowY""',
      /figures_json is not what the program writes/,
    ],
    ['figures are no JSON', 'data/trial_evaluation.csv', '"{""', '"{{""', /figures_json is no JSON/],
    [
      'a quotation mark is left open',
      'data/trial_decision.csv',
      'kept in a test',
      '"kept in a test',
      /trial_decision.csv, line 2/,
    ],
    ['a line has a cell too many', 'data/bench.csv', 'Bench A', 'Bench A,x', /line 2: It has 3 cells/],
    [
      'a line ends within a cell of counts',
      counts,
      '2,3\r\n',
      '2,3',
      /line 4: The file ends within this line/,
    ],
  ])('is refused where %s', async (_, path, find, replacement, problem) => {
    expect(textOf(parts, path)).toContain(find);
    const { message } = await refusalOfParts(
      resealed(withText(parts, path, (text) => text.replace(find, replacement))),
    );
    expect(message).toMatch(problem);
  });

  it('is refused where a text is not UTF-8', async () => {
    const bytes = Uint8Array.from(parts['data/tool.csv'] ?? []);
    const broken = {
      ...parts,
      'data/bench.csv': Buffer.concat([parts['data/bench.csv'] ?? bytes, Buffer.from([0xff, 0xfe])]),
    };
    expect((await refusalOfParts(resealed(broken))).message).toContain('UTF-8');
  });

  it('is taken in where it is whole, to show that these would be otherwise', async () => {
    const file = writeParts(taker.folder, 'whole.zip', resealed(parts));
    const preview = await taker.preview(file);
    expect(preview.trials).toEqual({ newCount: 2, knownCount: 0 });
    expect(taker.leftBehind()).toEqual([]);
  });
});
