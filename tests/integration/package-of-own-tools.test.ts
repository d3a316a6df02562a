import { afterEach, describe, expect, it } from 'vitest';
import { listCatalogue } from '../../main/catalogue/read-catalogue.ts';
import { savePack } from '../../main/storage/bench-item-repository.ts';
import { createContenderLookup, listMerges } from '../../main/storage/contender-repository.ts';
import { insertRating } from '../../main/storage/rating-repository.ts';
import { saveToolVersion } from '../../main/storage/tool-details-repository.ts';
import { insertMerge } from '../../main/storage/tool-merge-repository.ts';
import { listTransducers } from '../../main/storage/transducer-repository.ts';
import type { ToolClass } from '../../shared-lib/catalogue/catalogue-model.ts';
import { noDetails } from '../../shared-lib/catalogue/tool-entry.ts';
import { createPackageBench, type PackageBench } from './package-support/package-bench.ts';
import { smallBench } from './package-support/package-parts.ts';
import { storeTrial } from './storage-support/bench-fixture.ts';

const benches: PackageBench[] = [];
const at = (minute: number): string => new Date(Date.UTC(2026, 2, 5) + minute * 60_000).toISOString();
const OPERATOR = 'Demo operator';

afterEach(() => {
  for (const bench of benches.splice(0)) bench.remove();
});

interface Entered {
  readonly id: string;
  readonly name: string;
  readonly isArchived?: boolean;
  readonly toolClass?: ToolClass;
}

function enter(
  { database }: PackageBench,
  { id, name, isArchived = false, toolClass = 'impactWrench' }: Entered,
): void {
  const tool = {
    id,
    name,
    isArchived,
    supply: 'battery',
    declaredVibrationMps2: null,
    declaredNoiseDbA: null,
  } as const;
  saveToolVersion(
    database,
    { tool, details: { ...noDetails, toolClass } },
    { operator: OPERATOR, at: at(0) },
  );
}

function rate({ database }: PackageBench, toolId: string, score: number, minute: number): void {
  insertRating(database, { toolId, rater: 'Ann', score, isBlind: false, note: '', at: at(minute) });
}

function merge({ database }: PackageBench, toolId: string, intoToolId: string | null, minute: number): void {
  insertMerge(database, {
    toolId,
    intoToolId,
    reason: 'One tool (demo)',
    operator: OPERATOR,
    at: at(minute),
  });
}

function pull({ database }: PackageBench, id: string, toolName: string): void {
  const [transducer] = listTransducers(database);
  if (transducer === undefined) throw new Error('The bench has no transducer');
  storeTrial(database, transducer, 'kept', {
    id,
    step: { toolName, kind: 'tighten', direction: 'forward', plannedS: 5 },
  });
}

/** Whose trials those are that have this name and no setup. */
const toolOfName = ({ database }: PackageBench, name: string): string | null =>
  createContenderLookup(database).contenderOf(`name:${name.toLowerCase()}`, name, false).toolId;

const namesOf = ({ database }: PackageBench): unknown[] =>
  database.prepare('SELECT id, name FROM tool ORDER BY id').raw().all();

const mergesOf = ({ database }: PackageBench): unknown[] => [...listMerges(database)];

/** What counts for a tool: its ratings, and how many trials. */
function countedFor({ database }: PackageBench, toolId: string): unknown {
  const entry = listCatalogue(database).find(({ tool }) => tool.id === toolId);
  return { scores: entry?.ratings.map(({ score }) => score), trialCount: entry?.trialCount };
}

/** One's own bench has a tool that was pulled and rated, and a trial under a name that no tool has; the other one took all that in. */
async function ownAndOther(): Promise<{ own: PackageBench; other: PackageBench }> {
  const own = await smallBench();
  const other = createPackageBench({ id: 'bench-b', name: 'Bench B' });
  benches.push(own, other);
  enter(own, { id: 'own', name: 'Hollin H5' });
  rate(own, 'own', 8, 1);
  pull(own, 'trial-of-twin', 'Hollin twin');
  await other.takeIn(await own.write('to-b.zip'));
  return { own, other };
}

/** An entry of the other bench, of another class and rated by the same person later. */
function enterTwin(other: PackageBench): void {
  enter(other, { id: 'twin', name: 'Hollin twin', toolClass: 'impactDriver' });
  rate(other, 'twin', 2, 2);
}

const ownCounts = { scores: [8], trialCount: 2 };
const notMerged =
  'The package merges "Hollin twin" into "Hollin H5". That would change what counts for "Hollin H5" here, so it is not taken in. If they are the same, merge them on the page of "Hollin twin" under Tools.';

describe('an entry that another bench merged into one’s own tool', () => {
  it('comes in as a tool of its own, and the preview says so', async () => {
    const { own, other } = await ownAndOther();
    enterTwin(other);
    merge(other, 'twin', 'own', 3);
    const file = await other.write('merged.zip');
    const { remarks, newEntries, conflicts } = await own.preview(file);
    expect(remarks).toContain(notMerged);
    expect([newEntries, conflicts]).toEqual([['1 tool'], []]);
    expect((await own.takeIn(file)).sentence).toBe(
      '1 tool taken in. 3 trials of the package were here already. What it says besides about 1 entry that was here was not taken in.',
    );
    expect(mergesOf(own)).toEqual([]);
    expect(countedFor(own, 'own')).toEqual(ownCounts);
    expect(countedFor(own, 'twin')).toEqual({ scores: [2], trialCount: 1 });
  });

  it('stays one where it came in before it was merged', async () => {
    const { own, other } = await ownAndOther();
    enterTwin(other);
    await own.takeIn(await other.write('twin.zip'));
    merge(other, 'twin', 'own', 3);
    const file = await other.write('merged.zip');
    const { remarks, added } = await own.preview(file);
    expect(remarks).toContain(notMerged);
    expect(added).toEqual([]);
    await own.takeIn(file);
    expect(mergesOf(own)).toEqual([]);
    expect(countedFor(own, 'own')).toEqual(ownCounts);
  });

  it('does not count to it either by way of a tool that was merged into it here', async () => {
    const { own, other } = await ownAndOther();
    enter(other, { id: 'between', name: 'Hollin between' });
    await own.takeIn(await other.write('between.zip'));
    merge(own, 'between', 'own', 3);
    enterTwin(other);
    merge(other, 'twin', 'between', 4);
    const file = await other.write('merged.zip');
    expect((await own.preview(file)).remarks).toContain(
      'The package merges "Hollin twin" into "Hollin between". That would change what counts for "Hollin H5" here, so it is not taken in. If they are the same, merge them on the page of "Hollin twin" under Tools.',
    );
    await own.takeIn(file);
    expect(mergesOf(own)).toEqual([['between', 'own']]);
    expect(countedFor(own, 'own')).toEqual(ownCounts);
  });

  it('is not spoken of where that bench took the merge back', async () => {
    const { own, other } = await ownAndOther();
    enterTwin(other);
    merge(other, 'twin', 'own', 3);
    await own.takeIn(await other.write('merged.zip'));
    merge(other, 'twin', null, 4);
    const file = await other.write('parted.zip');
    const { remarks, added } = await own.preview(file);
    expect(remarks.join(' ')).not.toContain('merge');
    expect(added).toEqual([]);
    expect((await own.takeIn(file)).sentence).toBe('Nothing new. 3 trials of the package were here already.');
  });

  it('is not spoken of where it was merged here too', async () => {
    const { own, other } = await ownAndOther();
    enterTwin(other);
    merge(other, 'twin', 'own', 3);
    const file = await other.write('merged.zip');
    await own.takeIn(file);
    merge(own, 'twin', 'own', 5);
    expect((await own.preview(file)).remarks.join(' ')).not.toContain('The package merges');
  });
});

describe('an entry that another bench merged into a tool of that bench', () => {
  it.each(['in the same package', 'in one before'])('counts to it where that one comes %s', async (when) => {
    const { own, other } = await ownAndOther();
    enter(other, { id: 'theirs', name: 'Brindlow B4' });
    if (when === 'in one before') await own.takeIn(await other.write('theirs.zip'));
    enterTwin(other);
    merge(other, 'twin', 'theirs', 3);
    const file = await other.write('merged.zip');
    expect((await own.preview(file)).remarks.join(' ')).not.toContain('The package merges');
    await own.takeIn(file);
    expect(mergesOf(own)).toEqual([['twin', 'theirs']]);
    expect(countedFor(own, 'theirs')).toEqual({ scores: [2], trialCount: 1 });
    expect(countedFor(own, 'own')).toEqual(ownCounts);
  });
});

/** Trials of one's own have the name "Hollin H5" and no setup. */
async function ownBench(tools: readonly Entered[]): Promise<PackageBench> {
  const own = await smallBench();
  benches.push(own);
  for (const tool of tools) enter(own, tool);
  return own;
}

/** A package of another bench that has only tools. */
async function packageOf(tools: readonly Entered[]): Promise<string> {
  const other = createPackageBench({ id: 'bench-b', name: 'Bench B' });
  benches.push(other);
  for (const tool of tools) enter(other, tool);
  return other.write('tools.zip');
}

describe('a tool that comes in under the name of one that was put away here', () => {
  it.each([
    ['is in use', false],
    ['was put away too', true],
  ])(
    'gets another name where it %s, and trials under the name stay with the one of here',
    async (_, isArchived) => {
      const own = await ownBench([{ id: 'own', name: 'Hollin H5', isArchived: true }]);
      expect(toolOfName(own, 'Hollin H5')).toBe('own');
      const file = await packageOf([{ id: 'theirs', name: 'HOLLIN H5', isArchived }]);
      expect((await own.preview(file)).remarks).toContain(
        'The name "HOLLIN H5" is taken here, so it comes in as "HOLLIN H5 (Bench B)". If they are the same, merge them on their page under Tools.',
      );
      await own.takeIn(file);
      expect(namesOf(own)).toEqual([
        ['own', 'Hollin H5'],
        ['theirs', 'HOLLIN H5 (Bench B)'],
      ]);
      expect(toolOfName(own, 'Hollin H5')).toBe('own');
      expect(countedFor(own, 'own')).toEqual({ scores: [], trialCount: 2 });
      expect(countedFor(own, 'theirs')).toEqual({ scores: [], trialCount: 0 });
    },
  );

  it('gets another name where several were put away under it, so that nobody’s trials become its own', async () => {
    const own = await ownBench([
      { id: 'own', name: 'Hollin H5', isArchived: true },
      { id: 'own-too', name: 'Hollin H5', isArchived: true },
    ]);
    await own.takeIn(await packageOf([{ id: 'theirs', name: 'Hollin H5' }]));
    expect(toolOfName(own, 'Hollin H5')).toBeNull();
    expect(countedFor(own, 'theirs')).toEqual({ scores: [], trialCount: 0 });
  });

  it('gets none that another one of the package has', async () => {
    const own = await ownBench([{ id: 'own', name: 'Hollin H5', isArchived: true }]);
    await own.takeIn(
      await packageOf([
        { id: 'theirs', name: 'Hollin H5' },
        { id: 'theirs-too', name: 'Hollin H5 (Bench B)', isArchived: true },
      ]),
    );
    expect(namesOf(own)).toEqual([
      ['own', 'Hollin H5'],
      ['theirs', 'Hollin H5 (Bench B 2)'],
      ['theirs-too', 'Hollin H5 (Bench B)'],
    ]);
  });

  it('keeps it where no tool here has it, with all that are called alike in the package', async () => {
    const own = await ownBench([]);
    const theirs = [
      { id: 'theirs', name: 'Brindlow B4' },
      { id: 'theirs-of-old', name: 'Brindlow B4', isArchived: true },
    ];
    await own.takeIn(await packageOf(theirs));
    expect(namesOf(own)).toEqual(theirs.map(({ id, name }) => [id, name]));
  });
});

describe('a pack that comes in under a name that is taken here', () => {
  it('gets another one, and the preview sends nobody to merge what is not merged', async () => {
    const own = await ownBench([]);
    const other = createPackageBench({ id: 'bench-b', name: 'Bench B' });
    benches.push(other);
    for (const [{ database }, id] of [
      [own, 'pack-own'],
      [other, 'pack-theirs'],
    ] as const) {
      savePack(database, { id, name: 'Pack 2', nominalV: 18, capacityAh: 5, isArchived: false });
    }
    expect((await own.preview(await other.write('pack.zip'))).remarks).toContain(
      'The name "Pack 2" is taken here, so it comes in as "Pack 2 (Bench B)".',
    );
  });
});
