import { beforeEach, describe, expect, it } from 'vitest';
import { insertCalibration } from '../../main/storage/calibration-repository.ts';
import { getEdition, insertEdition, packContent } from '../../main/storage/edition-repository.ts';
import { insertCheck } from '../../main/storage/check-repository.ts';
import { computeStandings } from '../../shared-lib/standings/compute-standings.ts';
import { editionSchema } from '../../shared-lib/standings/standings-model.ts';
import { DEFINITION_VERSION } from '../../shared-lib/trial/definition-version.ts';
import type { Setup } from '../../shared-lib/run-sheet/setup-model.ts';
import { calibration, calibrationId } from './storage-support/bench-fixture.ts';
import { openWorkshop, operator, scheme, term, type Workshop } from './standings-support/ranked-workshop.ts';

let workshop: Workshop;
let hollin: Setup;
let trials: string[];

beforeEach(async () => {
  workshop = openWorkshop();
  hollin = workshop.addTool('Hollin H5');
  const tarnwick = workshop.addTool('Tarnwick T6');
  trials = [400, 410, 420].map((value) => workshop.pull(hollin, value));
  for (const value of [500, 505, 515]) workshop.pull(tarnwick, value);
  workshop.addTool('Corvane C8');
  await workshop.saveTable({ schemeId: await workshop.saveScheme(scheme()) });
});

const freeze = (name: string, tableId = 'table-1') =>
  workshop.handlers.makeEdition({ tableId, name, note: 'As shown in the video' });
const show = async (editionId: string) => workshop.handlers.getEdition({ editionId });

describe('an edition', () => {
  it('holds the standings with their ranges, who made it and by what', async () => {
    workshop.events.length = 0;
    const summary = await freeze('Spring');
    expect(workshop.events).toEqual(['standingsChanged']);
    expect(summary).toMatchObject({
      name: 'Spring',
      note: 'As shown in the video',
      operator,
      softwareVersion: '0.0.0-test',
      definitionVersion: DEFINITION_VERSION,
      tableId: 'table-1',
    });
    expect(summary.fingerprint).toMatch(/^[0-9a-f]{64}$/);
    const edition = await show(summary.id);
    expect(edition.summary).toEqual(summary);
    expect(edition.standings).toEqual(await workshop.standings());
    expect(edition.placeRanges).toEqual(await workshop.handlers.getPlaceRanges({ tableId: 'table-1' }));
    expect(edition.sinceThen).toEqual([]);
  });

  it('can be computed again from what it holds, without the database', async () => {
    const { id } = await freeze('Spring');
    const { input, standings } = editionSchema.parse(getEdition(workshop.database, id));
    const again = computeStandings(input);
    expect(again.rows).toEqual(standings.rows);
    expect(again.notRanked).toEqual(standings.notRanked);
  });

  it('stays as it was, whatever becomes of trials, tools, scheme and table', async () => {
    const { id } = await freeze('Spring');
    const before = await show(id);
    const [first = '', second = ''] = trials;
    workshop.voidTrial(first);
    workshop.pull(hollin, 900);
    insertCalibration(
      workshop.database,
      calibration({ id: 'calibration-2', label: 'Second demo calibration', createdAt: workshop.next() }),
      { reason: 'A heavier weight' },
    );
    workshop.reassign(second, 'calibration-2', 411);
    await workshop.saveScheme(scheme([term({ factor: 3 })]), before.standings.scheme.schemeId);
    await workshop.saveTable({
      schemeId: before.standings.scheme.schemeId,
      name: 'Renamed (demo)',
      currency: 'USD',
    });

    const after = await show(id);
    expect({ ...after, sinceThen: [] }).toEqual(before);
    expect(after.sinceThen).toEqual([
      'Voided since: 1 trial of Hollin H5.',
      'Read by another calibration since: 1 trial of Hollin H5.',
    ]);
    expect(await workshop.standings()).not.toEqual(before.standings);
  });

  it('is refused a change by the database itself', async () => {
    const { id } = await freeze('Spring');
    expect(() =>
      workshop.database.prepare('UPDATE edition SET name = ? WHERE id = ?').run('Other', id),
    ).toThrow('edition only grows');
    expect(() => workshop.database.prepare('DELETE FROM edition').run()).toThrow('edition only grows');
  });

  it('of the same state has the same fingerprint, of another state another one', async () => {
    const spring = await freeze('Spring');
    const again = await freeze('Spring, once more');
    expect(again.fingerprint).toBe(spring.fingerprint);
    const [first = ''] = trials;
    workshop.voidTrial(first);
    const without = await freeze('Without');
    expect(without.fingerprint).not.toBe(spring.fingerprint);
    workshop.restoreTrial(first);
    expect((await freeze('With it again')).fingerprint).toBe(spring.fingerprint);
    const { editions } = await workshop.handlers.listEditions({ tableId: 'table-1' });
    expect(editions.map(({ name }) => name)).toEqual([
      'With it again',
      'Without',
      'Spring, once more',
      'Spring',
    ]);
    const same = await workshop.handlers.compareEditions({ fromEditionId: spring.id, toEditionId: again.id });
    expect(same.changes).toEqual([]);
    expect(same.sentences).toContain(
      'Both editions have the same fingerprint: everything in them is the same.',
    );
  });

  it('compares with another one and with now', async () => {
    const spring = await freeze('Spring');
    for (const value of [700, 710, 720]) workshop.pull(hollin, value);
    const summer = await freeze('Summer');
    const { changes } = await workshop.handlers.compareEditions({
      fromEditionId: spring.id,
      toEditionId: summer.id,
    });
    expect(changes.map(({ label, fromPlace, toPlace }) => `${label} ${fromPlace} ${toPlace}`).sort()).toEqual(
      ['Hollin H5 2 1', 'Tarnwick T6 1 2'],
    );
    const sinceSummer = await workshop.handlers.compareEditions({
      fromEditionId: summer.id,
      toEditionId: null,
    });
    expect(sinceSummer.changes).toEqual([]);
  });

  it('holds trials of two definitions that measure alike side by side', async () => {
    const measuring = openWorkshop();
    for (const [name, definitionVersion] of [
      ['Hollin H5', 2],
      ['Tarnwick T6', 3],
    ] as const) {
      const setup = measuring.addTool(name);
      for (const sustainedNm of [400, 410, 420]) {
        measuring.pull(setup, { sustainedNm, figures: { definitionVersion } });
      }
    }
    await measuring.saveTable({ schemeId: await measuring.saveScheme(scheme()) });
    const { id } = await measuring.handlers.makeEdition({ tableId: 'table-1', name: 'Half way', note: '' });
    const { input, standings } = getEdition(measuring.database, id);
    expect(standings.rows.map(({ contender }) => contender.toolName).sort()).toEqual([
      'Hollin H5',
      'Tarnwick T6',
    ]);
    expect(input.trials.filter(({ leftOutBecause }) => leftOutBecause !== null)).toEqual([]);
    expect(standings.cautions.join(' ')).not.toContain('left out');
  });

  it('speaks of the definition of its measures only where the other one has other measures', async () => {
    const { id } = await freeze('Spring');
    const { summary, ...content } = getEdition(workshop.database, id);
    const { bytes } = await packContent(content);
    const sentencesSince = async (definitionVersion: number): Promise<string> => {
      const earlier = { ...summary, id: `by-${definitionVersion}`, definitionVersion };
      insertEdition(workshop.database, earlier, bytes);
      const asked = { fromEditionId: earlier.id, toEditionId: null };
      return (await workshop.handlers.compareEditions(asked)).sentences.join(' ');
    };
    expect(await sentencesSince(1)).toContain(
      `Measures were taken by definition 1 when the first was frozen, and are by definition ${DEFINITION_VERSION} now.`,
    );
    expect(await sentencesSince(2)).not.toContain('definition');
  });

  it('tells of trials that a failed check has cast doubt on since, and of those counted to another tool', async () => {
    const { id } = await freeze('Spring');
    insertCheck(workshop.database, {
      transducerId: workshop.transducer.id,
      calibrationId,
      at: workshop.next(),
      operator,
      means: { kind: 'shunt' },
      zeroCounts: 0,
      readingCounts: 1,
      referenceNm: 98,
      readingNm: 120,
      errorNm: 22,
      limitNm: 0.4,
      verdict: 'failed',
      reasons: [],
    });
    expect((await show(id)).sinceThen).toEqual([
      'Marked suspect by a failed daily check since: 3 trials of Hollin H5; 3 of Tarnwick T6.',
    ]);
  });

  it('that was damaged on the disk is not shown', async () => {
    const { id } = await freeze('Spring');
    workshop.database.exec('DROP TRIGGER edition_is_never_edited');
    workshop.database.prepare(`UPDATE edition SET fingerprint = ? WHERE id = ?`).run('0'.repeat(64), id);
    expect(() => workshop.handlers.getEdition({ editionId: id })).toThrow(
      expect.objectContaining({ code: 'database-damaged' }) as Error,
    );
    workshop.database.prepare(`UPDATE edition SET content = x'00' WHERE id = ?`).run(id);
    expect(() => workshop.handlers.getEdition({ editionId: id })).toThrow(
      expect.objectContaining({ code: 'database-damaged' }) as Error,
    );
  });

  it('that is not there is told so, and so is a table', () => {
    expect(() => workshop.handlers.getEdition({ editionId: 'nowhere' })).toThrow(
      expect.objectContaining({ code: 'edition-not-found' }) as Error,
    );
    expect(() => workshop.handlers.listEditions({ tableId: 'nowhere' })).toThrow(
      expect.objectContaining({ code: 'standings-not-found' }) as Error,
    );
  });
});
