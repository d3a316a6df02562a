import { arrivalsFile, countsFile } from '../../shared-lib/package/package-tables.ts';
import { listMerges } from '../storage/contender-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { foldForSearch } from '../storage/search-folding.ts';
import type { WorkTools } from '../work/work-tools.ts';
import { compareRows, planOf, type RowComparison } from './compare-rows.ts';
import { samplesOfTrial, sha256Of } from './package-sources.ts';
import type { StagedPackage } from './stage-package.ts';
import { endedSince } from './take-over-changes.ts';
import { addedInWords, newEntriesInWords } from './what-comes-in.ts';

export interface PackageComparison extends RowComparison {
  /** Whether it says that it comes from this bench. */
  readonly isOwnBench: boolean;
  /** What is new, counted: "2 trials". */
  readonly newEntries: readonly string[];
  /** What is added to entries that are here, counted: "1 void". */
  readonly added: readonly string[];
  /** Entries that are here of which the package says more, and that is not taken in. */
  readonly leftOutCount: number;
  /** Trials that are not here and do not come in: see `heldBackTrials`. */
  readonly heldBackCount: number;
  /** Trials that come in without what was decided about them after a failed check, since that check does not. */
  readonly withoutDecisionCount: number;
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
  const ownId = here.prepare<[], string>('SELECT id FROM bench WHERE is_own = 1').pluck().get();
  const leftOutCount = new Set([...rows.tables.values()].flatMap(({ changedHere }) => [...changedHere])).size;
  return {
    tables: rows.tables,
    conflicts,
    newNames,
    isOwnBench: manifest.bench.id === ownId,
    newEntries: newEntriesInWords(rows),
    added: addedInWords(staging, rows, endedSince(read, here, rows)),
    leftOutCount,
    heldBackCount: planOf(rows, 'trial').heldBack.size,
    withoutDecisionCount: planOf(rows, 'suspicion_decision').incomplete.size,
    remarks: remarksOn(read, { here, ownId, rows, newNames, leftOutCount }),
  };
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

/** Of tools those that were put away too: trials without a setup count by the name alone, see `toolsByName`. */
const named: Readonly<Record<string, string>> = { tool: 'tool', pack: 'pack WHERE is_archived = 0' };

/**
 * A name stands for one tool on the list of tools; two that come to be one are merged there by a person. Tools of the package that are
 * called alike among themselves stay so where nobody here has the name.
 */
function namesTakenHere(
  staging: ReadableDatabase,
  here: ReadableDatabase,
  rows: RowComparison,
  benchName: string,
): Map<string, string> {
  const names = new Map<string, string>();
  for (const [table, source] of Object.entries(named)) {
    const { newKeys } = planOf(rows, table);
    const taken = new Set(here.prepare<[], string>(`SELECT name_folded FROM ${source}`).pluck().all());
    const coming = staging
      .prepare<[], { id: string; name: string }>(`SELECT id, name FROM ${source} ORDER BY id`)
      .all()
      .filter(({ id }) => newKeys.has(id));
    const renamed = coming.filter(({ name }) => taken.has(foldForSearch(name)));
    for (const { name } of coming) taken.add(foldForSearch(name));
    for (const { id, name } of renamed) {
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

interface Compared {
  readonly here: ReadableDatabase;
  /** Undefined: this bench was never named. */
  readonly ownId: string | undefined;
  readonly rows: RowComparison;
  readonly newNames: ReadonlyMap<string, string>;
  readonly leftOutCount: number;
}

function remarksOn(read: StagedPackage, { here, ownId, rows, newNames, leftOutCount }: Compared): string[] {
  const { manifest, fingerprint, files, staging } = read;
  const remarks: string[] = [];
  const isOwnBench = manifest.bench.id === ownId;
  if (isOwnBench) remarks.push(ownBenchWords(leftOutCount));
  const ownTrials = [...planOf(rows, 'trial').newKeys].filter((id) => benchOf(read, id) === ownId).length;
  if (ownTrials > 0) {
    remarks.push(
      ownTrials === 1
        ? '1 trial that is not here is said to have been pulled on this bench. It comes in as one of its own.'
        : `${ownTrials} trials that are not here are said to have been pulled on this bench. They come in as its own.`,
    );
  }
  const heldBackCount = planOf(rows, 'trial').heldBack.size;
  if (heldBackCount > 0) remarks.push(`${heldBackWords(heldBackCount)} ${HELD_BACK_BECAUSE}`);
  const withoutDecisionCount = planOf(rows, 'suspicion_decision').incomplete.size;
  if (withoutDecisionCount > 0) remarks.push(withoutDecisionWords(withoutDecisionCount));
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
    // Packs are not merged.
    const then = planOf(rows, 'tool').newKeys.has(id)
      ? ' If they are the same, merge them on their page under Tools.'
      : '';
    remarks.push(`The name "${coming ?? ''}" is taken here, so it comes in as "${name}".${then}`);
  }
  remarks.push(...mergeRemarks(staging, here, rows, newNames));
  if (leftOutCount > 0 && !isOwnBench) {
    const isOne = leftOutCount === 1;
    remarks.push(
      `${leftOutCount} ${isOne ? 'entry' : 'entries'} that ${isOne ? 'is' : 'are'} here already had something added elsewhere than on the bench ${isOne ? 'it comes' : 'they come'} from, or on both; what is here stays, and the rest is not taken in.`,
    );
  }
  if ([...files.keys()].some((path) => path.startsWith('published/'))) {
    remarks.push(
      'Comparisons, standings and editions of the package are not taken in: they were judged by the rules of the other bench. They stand in the package to be read and computed again.',
    );
  }
  return remarks;
}

function mergeRemarks(
  staging: ReadableDatabase,
  here: ReadableDatabase,
  rows: RowComparison,
  newNames: ReadonlyMap<string, string>,
): string[] {
  const select = 'SELECT name FROM tool WHERE id = ?';
  const nameIn = (database: ReadableDatabase, id: string): string | undefined =>
    database.prepare<[string], string>(select).pluck().get(id);
  const nameOf = (id: string): string => nameIn(here, id) ?? newNames.get(id) ?? nameIn(staging, id) ?? '';
  const merges = listMerges(here);
  return planOf(rows, 'tool_merge')
    .mergesLeftOut.filter(({ toolId, intoToolId }) => merges.get(toolId) !== intoToolId)
    .map(
      ({ toolId, intoToolId, guardedId }) =>
        `The package merges "${nameOf(toolId)}" into "${nameOf(intoToolId)}". That would change what counts for "${nameOf(guardedId)}" here, so it is not taken in. If they are the same, merge them on the page of "${nameOf(toolId)}" under Tools.`,
    );
}

const HELD_BACK_BECAUSE =
  'Only the bench that a calibration came from adds checks to it, and what is of this bench comes back with a backup alone: Setup, Backups.';

/** Of trials that are not taken in. */
export function heldBackWords(count: number): string {
  return count === 1
    ? '1 trial that is not here does not come in: a failed daily check casts doubt on it that is not taken in either, and without that it would count as a good one.'
    : `${count} trials that are not here do not come in: failed daily checks cast doubt on them that are not taken in either, and without these they would count as good ones.`;
}

/** Of new trials. */
export function withoutDecisionWords(count: number): string {
  return count === 1
    ? '1 new trial comes in without what was decided about it after a failed daily check, since that check is not taken in.'
    : `${count} new trials come in without what was decided about them after failed daily checks, since these checks are not taken in.`;
}

function ownBenchWords(leftOutCount: number): string {
  const more =
    leftOutCount === 0
      ? ''
      : ` It says more about ${leftOutCount} ${leftOutCount === 1 ? 'entry' : 'entries'} than is here; that is not taken in.`;
  return `This package says that it comes from this very bench. Anybody can write that, so it changes nothing that is here.${more} What was decided here and lost since comes back with a backup: Setup, Backups.`;
}

/** Of a trial, by the package. */
function benchOf({ manifest, staging }: StagedPackage, trialId: string): string {
  return (
    staging
      .prepare<[string], string>(`SELECT bench_id FROM origin WHERE table_name = 'trial' AND row_key = ?`)
      .pluck()
      .get(trialId) ?? manifest.bench.id
  );
}
