import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { CatalogueTool, ToolDetails } from '../../shared-lib/catalogue/catalogue-model.ts';
import { MOST_PHOTOS } from '../../shared-lib/catalogue/photo-kind.ts';
import { noDetails } from '../../shared-lib/catalogue/tool-entry.ts';
import type { Tool } from '../../shared-lib/run-sheet/setup-model.ts';
import { systemClock } from '../../main/platform/clock.ts';
import {
  atOnce,
  brindlow,
  brindlowSetup,
  coded,
  hollin,
  hollinSetup,
  pack1,
  pack2,
} from '../helpers/run-sheet-fixture.ts';
import { makeDataFolder, startRealServices } from '../helpers/running-services.ts';
import { type OpenCatalogue, openCatalogue } from './storage-support/opened-catalogue.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

let folder: string;
let program: OpenCatalogue;
let handlers: OpenCatalogue['handlers'];

beforeEach(() => {
  folder = temporaryFolder();
  program = openCatalogue(folder);
  handlers = program.handlers;
});
afterEach(() => {
  program.close();
});

const wrench: ToolDetails = {
  ...noDetails,
  maker: 'Hollin (demo)',
  model: 'H5',
  toolClass: 'impactWrench',
  driveSize: 'square12.5',
  massBareKg: 1.9,
  claims: [{ id: 'c1', kind: 'fastening', torqueNm: 1000, source: 'box', statedOn: '2026-01-15' }],
  prices: [{ id: 'p1', kind: 'kit', amount: 199, currency: 'EUR', on: '2026-03-01', source: 'shop' }],
  note: 'Bought in a shop.',
};

async function entryOf(toolId: string): Promise<CatalogueTool> {
  const { tools } = await handlers.listCatalogue({});
  const found = tools.find(({ tool }) => tool.id === toolId);
  if (found === undefined) throw new Error(`No tool ${toolId}`);
  return found;
}
/** Both tools with a setup each. */
async function putIn(): Promise<void> {
  for (const tool of [hollin, brindlow]) await handlers.saveTool({ tool });
  for (const pack of [pack1, pack2]) await handlers.savePack({ pack });
  for (const setup of [hollinSetup, brindlowSetup]) await handlers.saveSetup({ setup });
}
const save = (tool: Tool, details: ToolDetails = noDetails) =>
  atOnce(() => handlers.saveCatalogueTool({ tool, details }));
const changesOf = async (toolId: string): Promise<string[][]> =>
  (await handlers.getToolHistory({ toolId })).versions.map(({ changes }) => changes);
async function toldBy(work: () => unknown): Promise<string[]> {
  const told: string[] = [];
  const stop = program.onEvent((name) => {
    if (name === 'catalogueChanged' || name === 'runSheetsChanged') told.push(name);
  });
  await atOnce(work);
  stop();
  return told.toSorted();
}

describe('tools and their details', () => {
  it('are there for every tool of the bench, empty until they are entered', async () => {
    await putIn();
    const entry = await entryOf(hollin.id);
    expect(entry).toMatchObject({
      tool: hollin,
      details: noDetails,
      setupCount: 1,
      trialCount: 0,
      photos: [],
    });
    expect(entry.missing).toContain('bare mass');
    expect(entry.missing).not.toContain('declared vibration');
  });

  it('are stored, told to every window, and outlast a restart', async () => {
    expect(await toldBy(() => save(hollin, wrench))).toEqual(['catalogueChanged', 'runSheetsChanged']);
    expect(await toldBy(() => save(hollin, { ...wrench, massBareKg: 2 }))).toEqual(['catalogueChanged']);
    program.close();
    program = openCatalogue(folder);
    handlers = program.handlers;
    expect((await entryOf(hollin.id)).details).toEqual({ ...wrench, massBareKg: 2 });
    expect((await handlers.listBenchItems({})).tools).toEqual([hollin]);
  });

  it('have one name, whichever side gave it, and their details stay', async () => {
    await save(hollin, wrench);
    const renamed = { ...hollin, name: 'Hollin H5 mk 2 (demo)' };
    expect(await toldBy(() => handlers.saveTool({ tool: renamed }))).toEqual([
      'catalogueChanged',
      'runSheetsChanged',
    ]);
    expect(await entryOf(hollin.id)).toMatchObject({ tool: renamed, details: wrench });
    await save({ ...renamed, name: 'Hollin H6 (demo)' }, wrench);
    expect((await handlers.listBenchItems({})).tools[0]?.name).toBe('Hollin H6 (demo)');
  });

  it('have a history with who changed what, and none where nothing changed', async () => {
    program.settings.update({ operator: 'Ada' });
    await save(hollin, wrench);
    await save(hollin, wrench);
    await handlers.saveTool({ tool: { ...hollin, name: 'Hollin H6 (demo)' } });
    const { versions } = await handlers.getToolHistory({ toolId: hollin.id });
    expect(versions.map(({ operator }) => operator)).toEqual(['Ada', 'Ada']);
    expect(versions[0]?.changes).toEqual(['Name: “Hollin H6 (demo)” (was “Hollin H5 (demo)”).']);
    expect(versions[1]?.changes[0]).toBe('Its history begins here.');
    expect(versions[1]?.changes).toContain(
      'Claim added: fastening, 1000\u202fN·m (738\u202fft·lbf), box, 2026-01-15.',
    );
    await expect(atOnce(() => handlers.getToolHistory({ toolId: 'nobody' }))).rejects.toEqual(
      coded('tool-not-found'),
    );
  });

  it('are refused with the name of another tool or with contradictions, and nothing is stored', async () => {
    await save(hollin, wrench);
    await expect(save({ ...brindlow, name: hollin.name.toUpperCase() })).rejects.toEqual(
      coded('invalid-request'),
    );
    await expect(save(brindlow, { ...noDetails, massBareKg: 2, massLoadedKg: 1 })).rejects.toThrow(
      /Nothing was stored\. The mass with its pack is less/,
    );
    expect((await handlers.listCatalogue({})).tools).toHaveLength(1);
  });
});

describe('two entries that are one tool', () => {
  const twin: Tool = { ...hollin, id: 'tool-twin', name: 'Holin H5 (demo)' };
  const merge = (fromToolId: string, intoToolId: string) =>
    atOnce(() => handlers.mergeTools({ fromToolId, intoToolId, reason: 'Mistyped.' }));
  const undo = (fromToolId: string) =>
    atOnce(() => handlers.undoMerge({ fromToolId, reason: 'They are two.' }));

  beforeEach(async () => {
    await putIn();
    await save(twin);
    await handlers.saveSetup({
      setup: { ...hollinSetup, id: 'setup-twin', toolId: twin.id, packId: pack1.id },
    });
  });

  it('are pointed out until they are merged', async () => {
    const { likelyTwins } = await handlers.listCatalogue({});
    expect(likelyTwins).toEqual([
      {
        toolIds: [twin.id, hollin.id],
        because: '“Holin H5 (demo)” and “Hollin H5 (demo)” differ by a letter or two.',
      },
    ]);
    await merge(twin.id, hollin.id);
    expect((await handlers.listCatalogue({})).likelyTwins).toEqual([]);
  });

  it('count as one once merged: the first is put away, its setups and ratings count with the other', async () => {
    const rate = { rater: 'Ada', isBlind: true, note: '' };
    await handlers.rateHandling({ ...rate, toolId: hollin.id, score: 5 });
    await handlers.rateHandling({ ...rate, toolId: twin.id, score: 8 });
    await handlers.rateHandling({ ...rate, toolId: twin.id, rater: 'Ben', score: 6 });
    expect(await toldBy(() => merge(twin.id, hollin.id))).toEqual(['catalogueChanged', 'runSheetsChanged']);
    expect(await entryOf(twin.id)).toMatchObject({
      tool: { isArchived: true },
      mergedIntoToolId: hollin.id,
      missing: [],
    });
    const survivor = await entryOf(hollin.id);
    expect(survivor).toMatchObject({ mergedIntoToolId: null, setupCount: 2 });
    expect(survivor.ratings.map(({ rater, score }) => [rater, score])).toEqual([
      ['Ada', 8],
      ['Ben', 6],
    ]);
    expect((await changesOf(twin.id)).flat()).toContain('Merged into “Hollin H5 (demo)”: Mistyped.');
  });

  it('are two again when the merge is taken back, put away only if they were before', async () => {
    // All in one millisecond, as on a quick machine: who put a tool away must not rest on the clock.
    program.close();
    program = openCatalogue(folder, { ...systemClock, now: () => new Date('2026-03-05T08:00:00Z') });
    handlers = program.handlers;
    await merge(twin.id, hollin.id);
    await undo(twin.id);
    expect(await entryOf(twin.id)).toMatchObject({ tool: twin, mergedIntoToolId: null });
    expect((await entryOf(hollin.id)).setupCount).toBe(1);
    await save({ ...twin, isArchived: true });
    await merge(twin.id, hollin.id);
    await undo(twin.id);
    expect(await entryOf(twin.id)).toMatchObject({ tool: { isArchived: true }, mergedIntoToolId: null });
    await expect(undo(twin.id)).rejects.toEqual(coded('invalid-state'));
    await expect(undo('nobody')).rejects.toEqual(coded('tool-not-found'));
  });

  it('are refused with themselves, in a ring, with a tool of another class, or with nobody', async () => {
    await expect(merge(hollin.id, hollin.id)).rejects.toEqual(coded('invalid-request'));
    await expect(merge(hollin.id, 'nobody')).rejects.toEqual(coded('tool-not-found'));
    await save(hollin, wrench);
    await save(twin, { ...noDetails, toolClass: 'drill' });
    await expect(merge(twin.id, hollin.id)).rejects.toThrow(
      /“Holin H5 \(demo\)” has the class “drill” and “Hollin H5 \(demo\)” the class “impact wrench”.*Nothing was merged/,
    );
    expect(await entryOf(twin.id)).toMatchObject({ tool: twin, mergedIntoToolId: null });
    await save(twin);
    await merge(twin.id, hollin.id);
    await expect(merge(hollin.id, twin.id)).rejects.toThrow(/ring/);
    await expect(merge(twin.id, brindlow.id)).rejects.toThrow(/was merged into “Hollin H5 \(demo\)” already/);
  });

  it('cannot both be in use while they are merged', async () => {
    await merge(twin.id, hollin.id);
    const refusal = /merged into “Hollin H5 \(demo\)”.*Take the merge back first/;
    await expect(save(twin)).rejects.toThrow(refusal);
    // By the list of the run sheets neither.
    await expect(atOnce(() => handlers.saveTool({ tool: twin }))).rejects.toThrow(refusal);
    expect((await entryOf(twin.id)).tool.isArchived).toBe(true);
    await save({ ...twin, isArchived: true }, { ...noDetails, note: 'The mistyped one.' });
    expect((await entryOf(twin.id)).details.note).toBe('The mistyped one.');
  });

  it('in a chain count to the last one', async () => {
    await merge(twin.id, hollin.id);
    await merge(hollin.id, brindlow.id);
    expect((await entryOf(brindlow.id)).setupCount).toBe(3);
    expect((await entryOf(hollin.id)).setupCount).toBe(2);
  });
});

describe('photos', () => {
  const png = (size = 64): Uint8Array => {
    const bytes = new Uint8Array(size);
    bytes.set([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
    return bytes;
  };
  const add = (bytes: Uint8Array, toolId = hollin.id) =>
    handlers.addToolPhoto({ toolId, caption: 'On the bench', mediaType: 'image/png', bytes });

  beforeEach(() => save(hollin, wrench));

  it('are stored byte for byte, listed without their bytes, and removed', async () => {
    const bytes = png(700_000).map((byte, index) => (index < 8 ? byte : (index * 7) % 251));
    const photo = await add(bytes);
    expect((await entryOf(hollin.id)).photos).toEqual([photo]);
    const got = await handlers.getToolPhoto({ photoId: photo.id });
    expect(got.photo).toEqual(photo);
    expect(Buffer.from(got.bytes).equals(Buffer.from(bytes))).toBe(true);
    expect(Object.prototype.toString.call(got.bytes)).toBe('[object Uint8Array]');
    expect(Buffer.isBuffer(got.bytes)).toBe(false);
    expect(await toldBy(() => handlers.removeToolPhoto({ photoId: photo.id }))).toEqual(['catalogueChanged']);
    expect((await entryOf(hollin.id)).photos).toEqual([]);
    const gone = coded('photo-not-found');
    await expect(atOnce(() => handlers.getToolPhoto({ photoId: photo.id }))).rejects.toEqual(gone);
    await expect(atOnce(() => handlers.removeToolPhoto({ photoId: photo.id }))).rejects.toEqual(gone);
  });

  it('are refused beyond the largest size, as another kind, beyond twelve, and for nobody', async () => {
    await expect(atOnce(() => add(png(700_001)))).rejects.toEqual(coded('photo-invalid'));
    await expect(atOnce(() => add(new TextEncoder().encode('GIF89a...')))).rejects.toEqual(
      coded('photo-invalid'),
    );
    await expect(atOnce(() => add(png(), 'nobody'))).rejects.toEqual(coded('tool-not-found'));
    for (let count = 0; count < MOST_PHOTOS; count += 1) await add(png());
    await expect(atOnce(() => add(png()))).rejects.toThrow(/has 12 photos/);
    expect((await entryOf(hollin.id)).photos).toHaveLength(12);
  });
});

describe('handling ratings', () => {
  const rate = (rater: string, score: number, toolId = hollin.id) =>
    atOnce(() => handlers.rateHandling({ toolId, rater, score, isBlind: score === 7, note: 'By hand.' }));

  beforeEach(async () => {
    for (const tool of [hollin, brindlow]) await save(tool);
  });

  it('count by their newest of each rater, and the one before counts again when it is withdrawn', async () => {
    await rate('Ada', 6);
    await rate('ADA', 7);
    await rate('Ben', 8.5);
    const { ratings } = await entryOf(hollin.id);
    expect(ratings).toMatchObject([
      { rater: 'ADA', score: 7, isBlind: true, note: 'By hand.' },
      { rater: 'Ben', score: 8.5, isBlind: false },
    ]);
    const ratingId = ratings[0]?.id ?? 0;
    expect(await toldBy(() => handlers.withdrawRating({ ratingId, reason: 'Not blind.' }))).toEqual([
      'catalogueChanged',
    ]);
    expect((await entryOf(hollin.id)).ratings[0]).toMatchObject({ rater: 'Ada', score: 6 });
    await expect(atOnce(() => handlers.withdrawRating({ ratingId, reason: 'Again.' }))).rejects.toEqual(
      coded('rating-not-found'),
    );
    await expect(rate('Ada', 5, 'nobody')).rejects.toEqual(coded('tool-not-found'));
  });

  it('are compared between raters', async () => {
    for (const [rater, more] of [
      ['Ada', 0],
      ['Ben', 1],
    ] as const) {
      await rate(rater, 3 + more);
      await rate(rater, 8 + more, brindlow.id);
    }
    const { agreement } = await handlers.listCatalogue({});
    expect(agreement).toMatchObject({ raters: ['Ada', 'Ben'], toolCount: 2, icc: null, meanDifference: 1 });
  });
});

describe('the catalogue as a file', () => {
  beforeEach(async () => {
    await save(hollin, wrench);
    await save({ ...brindlow, name: '=Brindlow B4 (demo)' });
  });

  it('changes nothing when it is read again as it was written', async () => {
    const { csv, fileName } = await handlers.exportCatalogue({});
    expect(fileName).toMatch(/^tools-\d{4}-\d\d-\d\d\.csv$/);
    expect(csv).toContain("'=Brindlow B4 (demo)");
    const preview = await handlers.previewCatalogueImport({ csv });
    expect(preview.refusedCount).toBe(0);
    expect(preview.rows.map(({ outcome }) => outcome)).toEqual(['same', 'same']);
    expect(await toldBy(() => handlers.importCatalogue({ csv }))).toEqual([]);
    expect(await changesOf(hollin.id)).toHaveLength(1);
  });

  it('is taken over as the preview said', async () => {
    const { csv } = await handlers.exportCatalogue({});
    const edited =
      csv.replace(',1.9,', ',"2,05",') + 'Tarnwick T6 (demo),Tarnwick,T6,ratchet,air' + ','.repeat(18);
    const { rows } = await handlers.previewCatalogueImport({ csv: edited });
    expect(rows.map(({ name, outcome }) => [name, outcome])).toEqual([
      ['=Brindlow B4 (demo)', 'same'],
      ['Hollin H5 (demo)', 'changed'],
      ['Tarnwick T6 (demo)', 'new'],
    ]);
    expect((await entryOf(hollin.id)).details).toEqual(wrench);
    expect(await handlers.importCatalogue({ csv: edited })).toEqual({ newCount: 1, changedCount: 1 });
    expect((await entryOf(hollin.id)).details).toEqual({ ...wrench, massBareKg: 2.05 });
    const { tools } = await handlers.listCatalogue({});
    expect(tools.find(({ tool }) => tool.name.startsWith('Tarnwick'))).toMatchObject({
      tool: { supply: 'air', isArchived: false },
      details: { toolClass: 'ratchet', maker: 'Tarnwick' },
    });
    expect((await handlers.listBenchItems({})).tools).toHaveLength(3);
  });

  it('is taken over whole or not at all', async () => {
    const csv = 'name,supply,mass_bare_kg\nNew one,battery,2\nHollin H5 (demo),battery,2 stone\n';
    expect((await handlers.previewCatalogueImport({ csv })).refusedCount).toBe(1);
    const refused = atOnce(() => handlers.importCatalogue({ csv }));
    await expect(refused).rejects.toEqual(coded('import-refused'));
    await expect(refused).rejects.toThrow(/Nothing was taken over.*Line 3, column mass_bare_kg: “stone”/);
    expect((await handlers.listCatalogue({})).tools).toHaveLength(2);
    expect((await entryOf(hollin.id)).details).toEqual(wrench);
  });

  it('is refused where it is no table, by line', async () => {
    const { rows, refusedCount } = await handlers.previewCatalogueImport({
      csv: 'name,supply\n"open,battery\n',
    });
    expect(refusedCount).toBe(1);
    expect(rows[0]).toMatchObject({ outcome: 'refused', name: '' });
    await expect(atOnce(() => handlers.importCatalogue({ csv: '"' }))).rejects.toEqual(
      coded('import-refused'),
    );
  });
});

describe('exchange rates', () => {
  const rate = { currency: 'GBP', inCurrency: 'EUR', rate: 1.2, on: '2026-03-01', source: 'bank' };

  it('are added, listed by day and kept', async () => {
    const told = await toldBy(async () => {
      await handlers.addExchangeRate({ rate });
      await handlers.addExchangeRate({ rate: { ...rate, on: '2026-01-01', rate: 1.1 } });
      await handlers.addExchangeRate({ rate: { ...rate, rate: 1.19 } });
    });
    expect(told).toEqual(['catalogueChanged', 'catalogueChanged', 'catalogueChanged']);
    const { rates } = await handlers.listExchangeRates({});
    expect(rates.map(({ on, rate: value }) => [on, value])).toEqual([
      ['2026-01-01', 1.1],
      ['2026-03-01', 1.2],
      ['2026-03-01', 1.19],
    ]);
  });

  it('of a currency to itself are refused', async () => {
    await expect(
      atOnce(() => handlers.addExchangeRate({ rate: { ...rate, inCurrency: 'GBP' } })),
    ).rejects.toEqual(coded('invalid-request'));
  });
});

describe('the catalogue of the running program', () => {
  it('is told to windows, and has the operator of the settings', async () => {
    const data = makeDataFolder();
    const running = await startRealServices(data.path);
    await running.handlers.updateSettings({ operator: 'Ada' });
    await running.handlers.saveCatalogueTool({ tool: hollin, details: wrench });
    const { versions } = await running.handlers.getToolHistory({ toolId: hollin.id });
    expect(versions).toMatchObject([{ operator: 'Ada' }]);
    expect(running.seen('catalogueChanged')).toHaveLength(1);
    const { tools } = await running.handlers.listCatalogue({});
    expect(tools).toMatchObject([{ tool: hollin, details: wrench }]);
    await running.close();
    data.remove();
  });
});
