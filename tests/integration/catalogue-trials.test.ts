import { describe, expect, it } from 'vitest';
import { createCatalogueParts } from '../../main/catalogue/catalogue-parts.ts';
import { listCatalogue } from '../../main/catalogue/read-catalogue.ts';
import { saveTool } from '../../main/storage/bench-item-repository.ts';
import { createContenderLookup, listContenders } from '../../main/storage/contender-repository.ts';
import { countTrials } from '../../main/storage/tool-trial-counts.ts';
import { recordDecision } from '../../main/storage/trial-repository.ts';
import { at, decision } from './storage-support/bench-fixture.ts';
import { tools } from './storage-support/compared-bench.ts';
import { openComparison } from './storage-support/opened-comparison.ts';
import { plansOf } from './storage-support/query-plans.ts';

function openCatalogue() {
  const { database, bench } = openComparison();
  const { handlers } = createCatalogueParts({
    database,
    clock: { monotonicUs: () => 0, now: () => new Date(at) },
    operator: () => 'Demo operator',
    emit: () => undefined,
  });
  const trialCounts = () =>
    Object.fromEntries(listCatalogue(database).map(({ tool, trialCount }) => [tool.id, trialCount]));
  const merge = (fromToolId: string, intoToolId: string) =>
    handlers.mergeTools({ fromToolId, intoToolId, reason: 'They are one tool.' });
  return { database, bench, handlers, trialCounts, merge };
}

describe('the trials of a tool', () => {
  it('are all that have ended, by its setups and by its name alone, voided ones too', () => {
    const { database, bench, trialCounts } = openCatalogue();
    bench.pull({ tool: 'hollin' });
    bench.pull({ tool: 'hollin', isWithoutSetup: true });
    bench.pull({ tool: 'hollin', id: 'voided' });
    recordDecision(database, 'voided', decision('voided'));
    bench.pull({ tool: 'tarnwick', state: 'reviewing' });
    expect(trialCounts()).toEqual({ 'tool-hollin': 3, 'tool-tarnwick': 1, 'tool-brindlow': 0 });
  });

  it('stay with a tool that was put away, and under its name with the one that has it now', () => {
    const { database, bench, trialCounts } = openCatalogue();
    bench.pull({ tool: 'hollin' });
    bench.pull({ tool: 'hollin', isWithoutSetup: true });
    saveTool(database, { ...tools.hollin, isArchived: true });
    expect(trialCounts()['tool-hollin']).toBe(2);
    saveTool(database, { ...tools.hollin, id: 'tool-new' });
    expect(trialCounts()).toMatchObject({ 'tool-hollin': 1, 'tool-new': 1 });
  });

  it('count with the tool it was merged into, and apart again afterwards', async () => {
    const { bench, handlers, trialCounts, merge } = openCatalogue();
    bench.pull({ tool: 'hollin' });
    bench.pull({ tool: 'tarnwick' });
    bench.pull({ tool: 'tarnwick', isWithoutSetup: true });
    await merge('tool-tarnwick', 'tool-hollin');
    expect(trialCounts()).toMatchObject({ 'tool-hollin': 3, 'tool-tarnwick': 2 });
    await handlers.undoMerge({ fromToolId: 'tool-tarnwick', reason: 'They are two.' });
    expect(trialCounts()).toMatchObject({ 'tool-hollin': 1, 'tool-tarnwick': 2 });
  });
});

describe('trials that were pulled under a name alone', () => {
  it('are compared as those of the tool that its entry was merged into', async () => {
    const { database, bench, merge } = openCatalogue();
    bench.pull({ tool: 'hollin', isWithoutSetup: true });
    bench.pull({ tool: 'tarnwick', isWithoutSetup: true });
    expect(listContenders(database).contenders).toHaveLength(2);
    await merge('tool-tarnwick', 'tool-hollin');
    expect(listContenders(database).contenders).toMatchObject([
      { key: 'name:hollin h5', label: 'Hollin H5', toolId: 'tool-hollin', steps: [{ keptCount: 2 }] },
    ]);
  });

  it('stay with a tool that was merged twice under one name, in its count and in comparisons', async () => {
    const { database, bench, trialCounts, merge } = openCatalogue();
    bench.pull({ tool: 'hollin' });
    bench.pull({ tool: 'tarnwick', isWithoutSetup: true });
    await merge('tool-tarnwick', 'tool-hollin');
    // Entered once more by mistake, and merged as well.
    saveTool(database, { ...tools.tarnwick, id: 'tool-again' });
    await merge('tool-again', 'tool-hollin');
    expect(trialCounts()['tool-hollin']).toBe(2);
    expect(createContenderLookup(database).keyOf(null, 'tarnwick t6')).toBe('name:hollin h5');
  });

  it('do not go over to another tool that has the name of the one they were merged into', async () => {
    const { database, merge } = openCatalogue();
    await merge('tool-tarnwick', 'tool-hollin');
    saveTool(database, { ...tools.hollin, isArchived: true });
    const before = createContenderLookup(database);
    expect(before.keyOf(null, 'tarnwick t6')).toBe('name:hollin h5');
    expect(before.contenderOf('name:hollin h5', 'Hollin H5', true).toolId).toBe('tool-hollin');
    saveTool(database, { ...tools.hollin, id: 'tool-new' });
    const lookup = createContenderLookup(database);
    expect(lookup.keyOf(null, 'tarnwick t6')).toBe('name:tarnwick t6');
    expect(lookup.contenderOf('name:tarnwick t6', 'Tarnwick T6', true)).toMatchObject({
      label: 'Tarnwick T6',
      toolId: 'tool-hollin',
    });
    expect(lookup.contenderOf('name:hollin h5', 'Hollin H5', true).toolId).toBe('tool-new');
  });

  it('are those of another tool that has taken the name since', async () => {
    const { database, merge } = openCatalogue();
    await merge('tool-tarnwick', 'tool-hollin');
    saveTool(database, { ...tools.tarnwick, id: 'tool-new' });
    const lookup = createContenderLookup(database);
    expect(lookup.keyOf(null, 'tarnwick t6')).toBe('name:tarnwick t6');
    expect(lookup.contenderOf('name:tarnwick t6', 'Tarnwick T6', true)).toMatchObject({
      label: 'Tarnwick T6',
      toolId: 'tool-new',
    });
  });
});

describe('the catalogue', () => {
  it('counts trials from an index alone, and lists photos without their bytes', () => {
    const { database } = openCatalogue();
    const [counting] = plansOf(database, (watched) => countTrials(watched));
    expect(counting?.join(' ')).toContain('USING COVERING INDEX trial_by_start');
    // What stands before the bytes is read without them.
    const columns = database
      .prepare<[], string>(`SELECT name FROM pragma_table_info('tool_photo')`)
      .pluck()
      .all();
    expect(columns.at(-1)).toBe('bytes');
  });
});
