import { describe, expect, it } from 'vitest';
import { createCatalogueParts } from '../../main/catalogue/catalogue-parts.ts';
import { readFiguresShown } from '../../main/storage/shown-figures.ts';
import { saveTool } from '../../main/storage/bench-item-repository.ts';
import { saveToolVersion } from '../../main/storage/tool-details-repository.ts';
import { recordDecision } from '../../main/storage/trial-repository.ts';
import { at, decision } from './storage-support/bench-fixture.ts';
import { tools } from './storage-support/compared-bench.ts';
import { openComparison } from './storage-support/opened-comparison.ts';
import { plansOf } from './storage-support/query-plans.ts';

const DAY_2 = 'session-day-2';

function openBench() {
  const { database, bench } = openComparison();
  bench.session(DAY_2, '2026-04-02T08:00:00.000Z');
  const by = { operator: 'Demo operator', at };
  const { handlers } = createCatalogueParts({
    database,
    clock: { monotonicUs: () => 0, now: () => new Date(at) },
    operator: () => by.operator,
    emit: () => undefined,
  });
  const areShownBefore = async (trialId: string) => {
    const answer = await handlers.getFiguresShown({ trialId });
    expect(answer.trialId).toBe(trialId);
    return answer.wereFiguresShown;
  };
  const toolIdOf = async (trialId: string) => (await handlers.getFiguresShown({ trialId })).toolId;
  const merge = (fromToolId: string, intoToolId: string) =>
    handlers.mergeTools({ fromToolId, intoToolId, reason: 'They are one tool.' });
  return { database, bench, by, areShownBefore, toolIdOf, merge };
}

describe('whether figures of a tool were shown before a trial of it', () => {
  it('were not at its first, whatever was pulled with other tools', async () => {
    const { bench, areShownBefore } = openBench();
    bench.pull({ tool: 'tarnwick' });
    expect(await areShownBefore(bench.pull({ tool: 'hollin' }))).toBe(false);
  });

  it('were by one that was kept once, though it was voided since', async () => {
    const { database, bench, areShownBefore } = openBench();
    recordDecision(database, bench.pull({ tool: 'hollin' }), decision('voided'));
    expect(await areShownBefore(bench.pull({ tool: 'hollin' }))).toBe(true);
    expect(await areShownBefore(bench.pull({ tool: 'hollin', session: DAY_2 }))).toBe(true);
  });

  it('were not by one that was never kept, as one voided unseen', async () => {
    const { database, bench, areShownBefore } = openBench();
    recordDecision(database, bench.pull({ tool: 'hollin', state: 'reviewing' }), decision('voided'));
    bench.pull({ tool: 'hollin', state: 'reviewing' });
    bench.pull({ tool: 'hollin', state: 'interrupted' });
    expect(await areShownBefore(bench.pull({ tool: 'hollin' }))).toBe(false);
  });

  it('were not by conditioning in the same session, but by that of another', async () => {
    const { bench, areShownBefore } = openBench();
    bench.pull({ tool: 'hollin', round: 1, role: 'conditioning' });
    expect(await areShownBefore(bench.pull({ tool: 'hollin', round: 1 }))).toBe(false);
    const { bench: other, areShownBefore: areShownThere } = openBench();
    other.pull({ tool: 'hollin', round: 1, role: 'conditioning' });
    expect(await areShownThere(other.pull({ tool: 'hollin', session: DAY_2 }))).toBe(true);
  });

  it('were under the name that the tool had before, with a setup and without', async () => {
    for (const isWithoutSetup of [false, true]) {
      const { database, bench, by, areShownBefore } = openBench();
      saveToolVersion(database, { tool: tools.hollin }, by);
      bench.pull({ tool: 'hollin', isWithoutSetup });
      saveToolVersion(database, { tool: { ...tools.hollin, name: 'Hollin H5 first lot' } }, by);
      expect(await areShownBefore(bench.pull({ tool: 'hollin' }))).toBe(true);
    }
  });

  it('were not by one that is pulled today under a name that the tool had before', async () => {
    const { database, bench, by, areShownBefore } = openBench();
    saveToolVersion(database, { tool: { ...tools.brindlow, name: 'Hollin H5 second lot' } }, by);
    saveToolVersion(database, { tool: tools.brindlow }, by);
    bench.pull({ tool: 'hollin', isWithoutSetup: true });
    expect(await areShownBefore(bench.pull({ tool: 'brindlow' }))).toBe(false);
  });

  it('were by a tool that was merged into it, also where that one was renamed', async () => {
    const { database, bench, by, areShownBefore, merge } = openBench();
    saveToolVersion(database, { tool: tools.tarnwick }, by);
    bench.pull({ tool: 'tarnwick', isWithoutSetup: true });
    const trialId = bench.pull({ tool: 'hollin', session: DAY_2 });
    expect(await areShownBefore(trialId)).toBe(false);
    saveToolVersion(database, { tool: { ...tools.tarnwick, name: 'Tarnwick T6 old' } }, by);
    await merge('tool-tarnwick', 'tool-hollin');
    expect(await areShownBefore(trialId)).toBe(true);
  });

  it('names the tool that was pulled, by the name of one that was put away too, and what it was merged into', async () => {
    const { database, bench, toolIdOf, merge } = openBench();
    const trialId = bench.pull({ tool: 'tarnwick', isWithoutSetup: true });
    expect(await toolIdOf(trialId)).toBe('tool-tarnwick');
    saveTool(database, { ...tools.tarnwick, isArchived: true });
    expect(await toolIdOf(trialId)).toBe('tool-tarnwick');
    expect(await toolIdOf(bench.pull({ tool: 'tarnwick' }))).toBe('tool-tarnwick');
    await merge('tool-tarnwick', 'tool-hollin');
    expect(await toolIdOf(trialId)).toBe('tool-hollin');
    saveTool(database, { ...tools.brindlow, name: 'Brindlow B4 called otherwise' });
    expect(await toolIdOf(bench.pull({ tool: 'brindlow', isWithoutSetup: true }))).toBeNull();
  });

  it('is refused for a trial that is not there, and found in the index of the list', () => {
    const { database, bench } = openBench();
    const trialId = bench.pull({ tool: 'hollin' });
    expect(() => readFiguresShown(database, 'nobody')).toThrow(
      expect.objectContaining({ code: 'trial-not-found' }),
    );
    const plans = plansOf(database, (watched) => readFiguresShown(watched, trialId)).flat();
    expect(plans.join('\n')).toContain('USING COVERING INDEX trial_by_start');
  });
});
