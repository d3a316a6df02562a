import { beforeEach, describe, expect, it } from 'vitest';
import {
  openWorkshop,
  operator,
  scheme,
  sustained,
  term,
  type Workshop,
} from './standings-support/ranked-workshop.ts';

let workshop: Workshop;

beforeEach(() => {
  workshop = openWorkshop();
  const hollin = workshop.addTool('Hollin H5');
  const tarnwick = workshop.addTool('Tarnwick T6');
  for (const value of [400, 410]) workshop.pull(hollin, value);
  for (const value of [500, 505]) workshop.pull(tarnwick, value);
});

const ofScheme = (schemeId: string) =>
  term({ id: `of-${schemeId}`, label: 'Of another', measure: { of: 'scheme', schemeId } });

describe('a scheme', () => {
  it('is stored as its first version, then as the next one; the earlier ones stay', async () => {
    const first = await workshop.handlers.saveScheme({ schemeId: null, draft: scheme() });
    expect(first).toMatchObject({ version: 1, operator, name: 'Strength alone (demo)' });
    const second = await workshop.handlers.saveScheme({
      schemeId: first.schemeId,
      draft: scheme([term({ factor: 2 })]),
    });
    expect(second).toMatchObject({ schemeId: first.schemeId, version: 2 });
    const { versions } = await workshop.handlers.listSchemeVersions({ schemeId: first.schemeId });
    expect(versions).toEqual([second, first]);
    const { schemes } = await workshop.handlers.listSchemes({});
    expect(schemes.filter(({ schemeId }) => schemeId === first.schemeId)).toEqual([second]);
    expect(workshop.events).toEqual(['standingsChanged', 'standingsChanged']);
  });

  it('makes no version where nothing was changed', async () => {
    const first = await workshop.handlers.saveScheme({ schemeId: null, draft: scheme() });
    expect(await workshop.handlers.saveScheme({ schemeId: first.schemeId, draft: scheme() })).toEqual(first);
  });

  it('that is ready-made comes first, has one version and cannot be changed in place', async () => {
    const own = await workshop.saveScheme(scheme());
    const { schemes, readyMadeIds } = await workshop.handlers.listSchemes({});
    expect(readyMadeIds.length).toBeGreaterThan(0);
    expect(schemes.map(({ schemeId }) => schemeId)).toEqual([...readyMadeIds, own]);
    for (const schemeId of readyMadeIds) {
      const { versions } = await workshop.handlers.listSchemeVersions({ schemeId });
      expect(versions).toHaveLength(1);
      await expect(
        (async () => workshop.handlers.saveScheme({ schemeId, draft: scheme([], { name: 'Mine' }) }))(),
      ).rejects.toMatchObject({
        code: 'scheme-invalid',
        message: expect.stringContaining('Save yours as a new scheme') as string,
      });
    }
  });

  it('refuses a name that another one in use has, whatever its case', async () => {
    const own = await workshop.saveScheme(scheme());
    const twin = async () => workshop.saveScheme(scheme([term()], { name: 'STRENGTH alone (demo)' }));
    await expect(twin()).rejects.toMatchObject({ code: 'scheme-invalid' });
    await workshop.handlers.archiveScheme({ schemeId: own, isArchived: true });
    expect((await workshop.handlers.listSchemes({})).archivedIds).toEqual([own]);
    await twin();
    await workshop.handlers.archiveScheme({ schemeId: own, isArchived: false });
    expect((await workshop.handlers.listSchemes({})).archivedIds).toEqual([]);
  });

  it('that would refer to itself by way of another is refused with every sentence, and nothing is stored', async () => {
    const inner = await workshop.saveScheme(scheme([term()], { name: 'Inner (demo)' }));
    const outer = await workshop.saveScheme(scheme([ofScheme(inner)], { name: 'Outer (demo)' }));
    const circular = scheme([term(), ofScheme(outer), ofScheme('nowhere')], { name: 'Inner (demo)' });
    const { findings } = await workshop.handlers.checkScheme({
      schemeId: inner,
      draft: circular,
      tableId: null,
    });
    const stops = findings.filter(({ severity }) => severity === 'stop');
    expect(stops.length).toBeGreaterThanOrEqual(2);
    const refusal = await workshop.saveScheme(circular, inner).catch((error: unknown) => error);
    expect(refusal).toMatchObject({ code: 'scheme-invalid' });
    for (const { sentence } of stops) expect(String(refusal)).toContain(sentence);
    expect((await workshop.handlers.listSchemeVersions({ schemeId: inner })).versions).toHaveLength(1);
  });

  it('that is not there is told so', async () => {
    expect(() => workshop.handlers.listSchemeVersions({ schemeId: 'nowhere' })).toThrow(
      expect.objectContaining({ code: 'scheme-not-found' }) as Error,
    );
    await expect(workshop.saveScheme(scheme(), 'nowhere')).rejects.toMatchObject({
      code: 'scheme-not-found',
    });
    expect(() => workshop.handlers.archiveScheme({ schemeId: 'nowhere', isArchived: true })).toThrow(
      expect.objectContaining({ code: 'scheme-not-found' }) as Error,
    );
  });

  it('is held against those of a table: a measure that nobody there has is told', async () => {
    const schemeId = await workshop.saveScheme(scheme());
    await workshop.saveTable({ schemeId });
    const nobody = term({
      id: 'other',
      label: 'Ten seconds',
      measure: { ...sustained, step: { ...sustained.step, plannedS: 10 } },
    });
    const check = async (tableId: string | null) => {
      const draft = scheme([term(), nobody], { name: 'Draft (demo)' });
      const { findings } = await workshop.handlers.checkScheme({ schemeId: null, draft, tableId });
      return findings.filter(({ termId }) => termId === 'other').map(({ sentence }) => sentence);
    };
    expect((await check('table-1')).length).toBeGreaterThan(0);
    const corvane = workshop.addTool('Corvane C8');
    workshop.pull(corvane, { sustainedNm: 300, step: { plannedS: 10 }, isSimulated: true });
    expect((await check('table-1')).length).toBeGreaterThan(0);
    expect((await check(null)).join(' ')).not.toMatch(/nobody/i);
  });
});

describe('a preview', () => {
  it('shows the order under a draft beside the stored one, and stores nothing', async () => {
    const schemeId = await workshop.saveScheme(scheme());
    await workshop.saveTable({ schemeId });
    const before = await workshop.standings();
    const draft = scheme([term({ better: 'less' })]);
    const preview = await workshop.handlers.previewStandings({ tableId: 'table-1', schemeId, draft });
    expect(preview.standings.rows.map(({ contender }) => contender.label)).toEqual([
      'Hollin H5',
      'Tarnwick T6',
    ]);
    expect(preview.standings.scheme).toMatchObject({ schemeId, version: 2 });
    expect(
      preview.changes.map(({ label, fromPlace, toPlace }) => `${label} ${fromPlace} ${toPlace}`).sort(),
    ).toEqual(['Hollin H5 2 1', 'Tarnwick T6 1 2']);
    expect(await workshop.standings()).toEqual(before);
    expect((await workshop.handlers.listSchemeVersions({ schemeId })).versions).toHaveLength(1);
  });

  it('of a scheme that the table does not have goes by its own name and may take the total of the one it has', async () => {
    const schemeId = await workshop.saveScheme(scheme());
    await workshop.saveTable({ schemeId });
    const before = await workshop.standings();
    const draft = scheme([ofScheme(schemeId)], { name: 'Of the other (demo)' });
    const other = await workshop.saveScheme(draft);
    for (const [of, version] of [
      [other, 2],
      [null, 1],
    ] as const) {
      const named = { ...draft, name: of === null ? 'New (demo)' : draft.name };
      const preview = await workshop.handlers.previewStandings({
        tableId: 'table-1',
        schemeId: of,
        draft: named,
      });
      expect(preview.findings.filter(({ severity }) => severity === 'stop')).toEqual([]);
      expect(preview.standings.scheme).toMatchObject({ name: named.name, version });
      expect(preview.standings.rows.map(({ contender, place }) => [contender.label, place])).toEqual(
        before.rows.map(({ contender, place }) => [contender.label, place]),
      );
    }
  });

  it('of a scheme in a circle is refused with the reason', async () => {
    const schemeId = await workshop.saveScheme(scheme());
    await workshop.saveTable({ schemeId });
    expect(() =>
      workshop.handlers.previewStandings({
        tableId: 'table-1',
        schemeId,
        draft: scheme([ofScheme(schemeId)]),
      }),
    ).toThrow(expect.objectContaining({ code: 'scheme-invalid' }) as Error);
  });
});
