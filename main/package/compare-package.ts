import { arrivalsFile, countsFile } from '../../shared-lib/package/package-tables.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { foldForSearch } from '../storage/search-folding.ts';
import type { WorkTools } from '../work/work-tools.ts';
import { compareRows, planOf, type RowComparison } from './compare-rows.ts';
import { samplesOfTrial, sha256Of } from './package-sources.ts';
import type { StagedPackage } from './stage-package.ts';

export interface PackageComparison extends RowComparison {
  /** What is not taken in, or stays as it is here, in sentences. */
  readonly remarks: readonly string[];
  /** Of tools and packs that come with a name that is taken here: the name they get. */
  readonly newNames: ReadonlyMap<string, string>;
}

/** What a package would change here: which of its rows are new, which are known, which contradict what is here. */
export function comparePackage(read: StagedPackage, here: ReadableDatabase): PackageComparison {
  const { staging, manifest } = read;
  const rows = compareRows(staging, here, manifest.bench.id);
  const conflicts = [
    ...rows.conflicts,
    ...openRuns(staging, here, rows),
    ...otherPhotos(staging, here, rows),
  ];
  const newNames = namesTakenHere(staging, here, rows, manifest.bench.name);
  return { tables: rows.tables, conflicts, newNames, remarks: remarksOn(read, here, rows, newNames) };
}

/** Of a transducer that all benches share, such as the simulated one: two runs at a time would mix their readings. */
function openRuns(staging: ReadableDatabase, here: ReadableDatabase, rows: RowComparison): string[] {
  const { newKeys } = planOf(rows, 'calibration_run');
  return here
    .prepare<[], { id: string; name: string }>(
      'SELECT transducer.id, transducer.name FROM open_calibration_run JOIN transducer ON transducer.id = transducer_id',
    )
    .all()
    .filter(({ id }) =>
      staging
        .prepare<[string], string>('SELECT id FROM calibration_run WHERE transducer_id = ?')
        .pluck()
        .all(id)
        .some((runId) => newKeys.has(runId)),
    )
    .map(({ name }) => `A guided calibration of ${name} is open here. End or discard it in Calibrate first.`);
}

function otherPhotos(staging: ReadableDatabase, here: ReadableDatabase, rows: RowComparison): string[] {
  const select = 'SELECT bytes FROM tool_photo WHERE id = ?';
  const bytesOf = (database: ReadableDatabase, id: string): Uint8Array =>
    database.prepare<[string], Uint8Array>(select).pluck().get(id) ?? new Uint8Array();
  return [...planOf(rows, 'tool_photo').knownKeys]
    .filter((id) => Buffer.compare(bytesOf(staging, id), bytesOf(here, id)) !== 0)
    .map((id) => `tool_photo ${id}: it is another picture here.`);
}

/** Which trials that are known have other samples here: they are what everything rests on, so all of them are read. */
export async function compareSamples(
  { files }: StagedPackage,
  here: ReadableDatabase,
  rows: RowComparison,
  tools: WorkTools,
): Promise<string[]> {
  const conflicts: string[] = [];
  const known = [...planOf(rows, 'trial').knownKeys];
  for (const [index, trialId] of known.entries()) {
    tools.progress(
      index / known.length,
      `Comparing the samples of trial ${index + 1} of ${known.length} that are here.`,
    );
    const { counts, arrivals } = samplesOfTrial(here, trialId, () => tools.pause());
    const isSame =
      files.get(countsFile(trialId))?.sha256 === (await sha256Of(counts())) &&
      files.get(arrivalsFile(trialId))?.sha256 === (await sha256Of(arrivals()));
    if (!isSame)
      conflicts.push(`trial ${trialId}: its raw counts or their times are others here than in the package.`);
  }
  return conflicts;
}

/** A name stands for one tool on the list of tools; two that come to be one are merged there by a person. */
function namesTakenHere(
  staging: ReadableDatabase,
  here: ReadableDatabase,
  rows: RowComparison,
  benchName: string,
): Map<string, string> {
  const names = new Map<string, string>();
  for (const table of ['tool', 'pack']) {
    const { newKeys } = planOf(rows, table);
    const taken = new Set(
      here.prepare<[], string>(`SELECT name_folded FROM ${table} WHERE is_archived = 0`).pluck().all(),
    );
    const coming = staging
      .prepare<[], { id: string; name: string }>(
        `SELECT id, name FROM ${table} WHERE is_archived = 0 ORDER BY id`,
      )
      .all()
      .filter(({ id }) => newKeys.has(id));
    const free = coming.filter(({ name }) => !taken.has(foldForSearch(name)));
    for (const { name } of free) taken.add(foldForSearch(name));
    for (const { id, name } of coming) {
      if (free.some((tool) => tool.id === id)) continue;
      const given = freeName(name, benchName, taken);
      taken.add(foldForSearch(given));
      names.set(id, given);
    }
  }
  return names;
}

const MOST_NAME_LENGTH = 80;

function freeName(name: string, benchName: string, taken: ReadonlySet<string>): string {
  for (let count = 1; ; count += 1) {
    const addition = count === 1 ? ` (${benchName.slice(0, 40)})` : ` (${benchName.slice(0, 40)} ${count})`;
    const given = `${name.slice(0, MOST_NAME_LENGTH - addition.length)}${addition}`;
    if (!taken.has(foldForSearch(given))) return given;
  }
}

const words: Readonly<Record<string, readonly [string, string]>> = {
  transducer: ['transducer', 'transducers'],
  amplifier: ['amplifier', 'amplifiers'],
  tool: ['tool', 'tools'],
  pack: ['pack', 'packs'],
  setup: ['setup', 'setups'],
  bench: ['bench', 'benches'],
  tool_photo: ['picture', 'pictures'],
  session: ['session', 'sessions'],
};

function remarksOn(
  { manifest, fingerprint, files, staging }: StagedPackage,
  here: ReadableDatabase,
  rows: RowComparison,
  newNames: ReadonlyMap<string, string>,
): string[] {
  const remarks: string[] = [];
  const ownId = here.prepare<[], string>('SELECT id FROM bench WHERE is_own = 1').pluck().get();
  if (manifest.bench.id === ownId) remarks.push('This package comes from this very bench.');
  const before = here
    .prepare<[string], string>('SELECT at FROM import WHERE fingerprint = ? ORDER BY at DESC LIMIT 1')
    .pluck()
    .get(fingerprint);
  if (before !== undefined) remarks.push(`This very package was taken in before, on ${before.slice(0, 10)}.`);
  for (const [table, [one, many]] of Object.entries(words)) {
    const count = planOf(rows, table).otherwise.size;
    if (count === 0 || table === 'session') continue;
    remarks.push(
      `${count} ${count === 1 ? one : many} ${count === 1 ? 'is' : 'are'} named or described otherwise here; what is here stays.`,
    );
  }
  for (const [id, name] of newNames) {
    const coming = staging
      .prepare<[string, string], string>(
        'SELECT name FROM tool WHERE id = ? UNION ALL SELECT name FROM pack WHERE id = ?',
      )
      .pluck()
      .get(id, id);
    remarks.push(
      `The name "${coming ?? ''}" is taken here, so it comes in as "${name}". If they are the same, merge them on their page under Tools.`,
    );
  }
  const overruled = [...rows.tables.values()].flatMap(({ changedHere }) => [...changedHere]);
  if (overruled.length > 0) {
    const count = new Set(overruled).size;
    remarks.push(
      `${count} ${count === 1 ? 'entry' : 'entries'} that ${count === 1 ? 'is' : 'are'} here already had something added elsewhere than on the bench ${count === 1 ? 'it comes' : 'they come'} from, or on both; what is here stays, and the rest is not taken in.`,
    );
  }
  if ([...files.keys()].some((path) => path.startsWith('published/'))) {
    remarks.push(
      'Comparisons, standings and editions of the package are not taken in: they were judged by the rules of the other bench. They stand in the package to be read and computed again.',
    );
  }
  return remarks;
}
