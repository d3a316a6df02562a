import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { RequestParams } from '../../shared-lib/api-contract.ts';
import type { CurveMapping, Source } from '../../shared-lib/exchange/exchange-requests.ts';
import { readStoredTrials } from '../helpers/read-stored-trial.ts';
import { makeDataFolder, type RunningServices, startRealServices } from '../helpers/running-services.ts';

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;

beforeEach(async () => {
  folder = makeDataFolder();
  bench = await startRealServices(folder.path);
});

afterEach(async () => {
  await bench.close();
  folder.remove();
});

/** A rise to 300 and to 200 N·m from 1 s on, at 1000 Sa/s over 7 s; line 2003 and a cell of the second curve are missing. */
function riseFile(sign = 1): string {
  const rows = Array.from({ length: 7000 }, (_, slot) => {
    const timeS = slot / 1000 - 1;
    const rise = timeS <= 0 ? 0 : 1 - Math.exp(-timeS / 0.4);
    const second = slot === 3000 ? '' : (sign * 200 * rise).toFixed(2);
    return `${timeS.toFixed(3)};${(sign * 300 * rise).toFixed(2)};${second}`.replaceAll('.', ',');
  });
  rows.splice(2001, 1);
  return ['Zeit (s);Hollin H5 Moment (Nm);Tarnwick T6 Moment (Nm)', ...rows, ''].join('\r\n');
}

function put(name: string, content: string | Uint8Array): Source {
  const path = join(folder.path, name);
  writeFileSync(path, content);
  return { from: 'path', path };
}

type Asked = Omit<RequestParams<'importCurves'>, 'source' | 'mapping'>;
const asked: Asked = {
  toolNames: ['Hollin H5 (demo)', 'Tarnwick T6 (demo)'],
  kind: 'tighten',
  direction: 'forward',
  plannedS: 5,
  measuredAt: '2026-02-03T10:00:00.000Z',
  benchName: 'Bench of a friend (demo)',
  uncertaintyPercent: 2,
  note: 'Sent by mail (demo)',
};

async function mappingOf(source: Source): Promise<CurveMapping> {
  return (await bench.handlers.previewCurves({ source, mapping: null })).mapping;
}

function open(): Database.Database {
  return new Database(join(folder.path, 'proofarm.db'), { readonly: true });
}

describe('curves of a file', () => {
  it('are shown as they would be taken in, before anything is', async () => {
    const source = put('curves.csv', riseFile());
    const preview = await bench.handlers.previewCurves({ source, mapping: null });
    expect(preview).toMatchObject({
      mapping: { separator: ';', decimal: ',', hasHeader: true, timeColumn: 0, torqueColumns: [1, 2] },
      columns: ['Zeit (s)', 'Hollin H5 Moment (Nm)', 'Tarnwick T6 Moment (Nm)'],
      rowCount: 6999,
      problems: [],
      remarks: [],
    });
    expect(preview.curves.map(({ sampleRateHz, lostCount }) => [sampleRateHz, lostCount])).toEqual([
      [1000, 1],
      [1000, 2],
    ]);
    expect(Math.max(...(preview.curves[0]?.torqueNm ?? []))).toBe(300);
    expect(readStoredTrials(folder.path)).toEqual([]);
  });

  it('become trials with the very digits of the file, lost samples as gaps, and figures by the usual definitions', async () => {
    const source = put('curves.csv', riseFile());
    const { trialIds } = await bench.handlers.importCurves({
      source,
      mapping: await mappingOf(source),
      ...asked,
    });
    expect(trialIds).toHaveLength(2);
    const [first, second] = readStoredTrials(folder.path).toSorted((a, b) =>
      a.record.summary.step.toolName.localeCompare(b.record.summary.step.toolName),
    );
    expect(first?.record.summary).toMatchObject({
      startedAt: asked.measuredAt,
      step: { toolName: 'Hollin H5 (demo)', kind: 'tighten', direction: 'forward', plannedS: 5 },
      state: 'kept',
      isSimulated: false,
      benchName: 'Bench of a friend (demo)',
      hasNote: true,
    });
    expect(first?.recording.counts.length).toBe(7000);
    expect(first?.recording.gaps).toEqual([{ offset: 2001, length: 1 }]);
    expect(second?.recording.gaps).toEqual([
      { offset: 2001, length: 1 },
      { offset: 3000, length: 1 },
    ]);
    // Slot 1500 is half a second after the rise begins: 300 (1 - exp(-1.25)) = 214.05 N·m, of which the file has two decimals.
    expect(first?.recording.counts[1500]).toBe(Math.round(100 * 300 * (1 - Math.exp(-1.25))));
    expect(first?.record.conditions).toMatchObject({ zeroCounts: 0, amplifierId: null, amplifierName: null });
    expect(first?.record).toMatchObject({ sampleRateHz: 1000, zeroAfterCounts: null, lostSlots: 1 });
    const sustained = first?.record.figures?.sustainedTorqueNm;
    // Held for the last 250 ms that count: 300 (1 - exp(-4.7 / 0.4)), nearly all of it.
    expect(sustained && 'value' in sustained ? sustained.value : null).toBeCloseTo(300, 1);
    expect(first?.record.decisions).toEqual([
      expect.objectContaining({
        decision: 'kept',
        figuresShown: true,
        reason: expect.stringMatching(
          /^Imported from curves\.csv, “Hollin H5 Moment \(Nm\)”, of Bench of a friend/,
        ),
      }),
    ]);
  });

  it('say where they come from, and their transducer is never offered on the Bench', async () => {
    const before = await bench.handlers.listTransducers({});
    const source = put('curves.csv', riseFile());
    await bench.handlers.importCurves({ source, mapping: await mappingOf(source), ...asked });
    expect(await bench.handlers.listTransducers({})).toEqual(before);
    const { imports } = await bench.handlers.listImports({});
    expect(imports).toEqual([
      expect.objectContaining({
        kind: 'curves',
        fileName: 'curves.csv',
        benchName: 'Bench of a friend (demo)',
        trialCount: 2,
      }),
    ]);
    const database = open();
    const calibration = database
      .prepare('SELECT label, method, note, entered_uncertainty_percent AS percent FROM calibration')
      .all();
    database.close();
    expect(calibration).toContainEqual({
      label: 'As given in curves.csv',
      method: 'direct',
      note: expect.stringMatching(/how that bench was calibrated is not known/),
      percent: 2,
    });
  });

  it('of one bench share its transducer, and a file that was taken in before is recognised', async () => {
    const source = put('curves.csv', riseFile());
    const mapping = await mappingOf(source);
    await bench.handlers.importCurves({ source, mapping, ...asked });
    const again = await bench.handlers.previewCurves({ source, mapping });
    expect(again.remarks).toEqual([expect.stringMatching(/taken in on \d{4}-\d\d-\d\d already/)]);
    await bench.handlers.importCurves({ source, mapping, ...asked });
    const trials = readStoredTrials(folder.path);
    expect(trials).toHaveLength(4);
    expect(new Set(trials.map(({ record }) => record.conditions.transducer.id)).size).toBe(1);
    expect(new Set(trials.map(({ record }) => record.conditions.calibrationId)).size).toBe(2);
    expect((await bench.handlers.listBenches({})).benches.filter(({ isOwn }) => !isOwn)).toHaveLength(1);
  });

  it('of a reverse pull read positive in the direction of the step, whichever sign the file has', async () => {
    for (const sign of [1, -1]) {
      const source = put(`reverse${sign}.csv`, riseFile(sign));
      const mapping = await mappingOf(source);
      await bench.handlers.importCurves({ source, mapping, ...asked, direction: 'reverse' });
    }
    const sustained = readStoredTrials(folder.path).map(({ record }) => {
      const measure = record.figures?.sustainedTorqueNm;
      return measure && 'value' in measure ? Math.round(measure.value) : null;
    });
    expect(sustained.toSorted()).toEqual([200, 200, 300, 300]);
  });

  it('are measured alike when they are measured anew', async () => {
    const source = put('curves.csv', riseFile());
    const { trialIds } = await bench.handlers.importCurves({
      source,
      mapping: await mappingOf(source),
      ...asked,
    });
    for (const trialId of trialIds) {
      const { figures } = await bench.handlers.getTrial({ trialId });
      const { figures: again } = await bench.handlers.whatIfTrial({
        trialId,
        calibrationId: null,
        onsetLevelNm: null,
        windowS: null,
      });
      expect(again).toEqual(figures);
    }
  });
});

describe('a file of curves that cannot be taken in', () => {
  it.each<[string, Partial<Asked>, RegExp]>([
    ['a time in the future', { measuredAt: '2999-01-01T00:00:00.000Z' }, /future/],
    ['a column without a tool', { toolNames: ['Only one (demo)'] }, /has no tool/],
    ['a pull longer than an hour', { plannedS: 4000 }, /./],
  ])('changes nothing: %s', async (_name, others, expected) => {
    const source = put('curves.csv', riseFile());
    const mapping = await mappingOf(source);
    const work = async (): Promise<unknown> =>
      bench.handlers.importCurves({ source, mapping, ...asked, ...others });
    await expect(work()).rejects.toThrow(expected);
    expect(readStoredTrials(folder.path)).toEqual([]);
    expect((await bench.handlers.listImports({})).imports).toEqual([]);
  });

  it('is refused where a forward pull is negative', async () => {
    const source = put('curves.csv', riseFile(-1));
    const mapping = await mappingOf(source);
    await expect(
      (async () => bench.handlers.importCurves({ source, mapping, ...asked }))(),
    ).rejects.toMatchObject({ code: 'import-refused', message: expect.stringMatching(/negative/) });
  });

  it.each<[string, string | Uint8Array, RegExp]>([
    ['nothing', '', /empty/],
    ['a picture', Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0, 0, 0, 13]), /no text/],
  ])('is called no table: %s', async (_name, content, expected) => {
    const source = put('no-table.csv', content);
    await expect(
      (async () => bench.handlers.previewCurves({ source, mapping: null }))(),
    ).rejects.toMatchObject({ code: 'import-refused', message: expect.stringMatching(expected) });
  });

  it('names the line of a quotation mark that is never closed', async () => {
    const source = put('quote.csv', 'time_s,torque_nm\n0.000,1\n"0.001,2\n0.002,3\n');
    const { problems } = await bench.handlers.previewCurves({ source, mapping: null });
    expect(problems[0]).toMatch(/^Line \d+: the file is no table there/);
  });

  it('says that the file went away', async () => {
    const source: Source = { from: 'path', path: join(folder.path, 'gone.csv') };
    expect(existsSync(source.path)).toBe(false);
    await expect(
      (async () => bench.handlers.previewCurves({ source, mapping: null }))(),
    ).rejects.toMatchObject({ code: 'upload-not-found' });
  });
});
