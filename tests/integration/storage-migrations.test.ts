import BetterSqlite3 from 'better-sqlite3';
import { copyFileSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { keepAmplifier, listAmplifiers } from '../../main/storage/amplifier-repository.ts';
import {
  getCalibration,
  getCalibrationResult,
  insertCalibration,
} from '../../main/storage/calibration-repository.ts';
import { insertCheck, listChecks } from '../../main/storage/check-repository.ts';
import { allMigrations } from '../../main/storage/migrations/all-migrations.ts';
import { listOwnProfiles } from '../../main/storage/profile-repository.ts';
import { readRecording } from '../../main/storage/recording-repository.ts';
import { loadSettings } from '../../main/storage/settings-repository.ts';
import { getSessionConditions } from '../../main/storage/session-repository.ts';
import { listTrials } from '../../main/storage/trial-list.ts';
import { getTransducer } from '../../main/storage/transducer-repository.ts';
import { getTrial, saveEvaluation } from '../../main/storage/trial-repository.ts';
import { trialFiguresSchema } from '../../shared-lib/trial/trial-model.ts';
import { dumpSchema } from '../../scripts/dump-schema.ts';
import { otherFigures } from '../helpers/trial-defaults.ts';
import {
  at,
  calibration,
  calibrationId,
  databasePath,
  ended,
  figures,
  open,
} from './storage-support/bench-fixture.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

const fixtures = new URL('../fixtures/databases/', import.meta.url);
const newest = allMigrations.at(-1)?.version ?? 0;

/** Of the first definition, without the measures that came later. */
const figuresOfFirstDefinition = trialFiguresSchema.parse(
  Object.fromEntries(Object.entries(figures()).filter(([name]) => !Object.hasOwn(otherFigures, name))),
);

/** Of the second definition, with all that a score of a tightening is taken from. */
const fullFigures = {
  ...figures(400),
  definitionVersion: 2,
  finalTorqueNm: { value: 395, standardError: 0.5 },
  torqueAt: [
    { atS: 1, torqueNm: { value: 200 } },
    { atS: 2, torqueNm: { refused: 'Too many samples are lost.' } },
    { atS: 3, torqueNm: { value: 300 } },
    { atS: 5, torqueNm: { value: 390 } },
  ],
  timeToLevel: [
    { levelNm: 100, timeS: 0.5 },
    { levelNm: 500, timeS: null },
  ],
};

describe('the list of migrations', () => {
  it('counts upwards in tens, each in a file that bears its number', () => {
    const files = readdirSync(new URL('../../main/storage/migrations/', import.meta.url)).filter((name) =>
      /^\d/.test(name),
    );
    expect(files.map((name) => Number(name.slice(0, 4)))).toEqual(
      allMigrations.map(({ version }) => version),
    );
    allMigrations.forEach(({ version }, index) => expect(version).toBe(10 * (index + 1)));
  });

  it('leads to the schema that was reviewed', () => {
    const database = open(temporaryFolder());
    const golden = readFileSync(new URL('../golden/schema.sql', import.meta.url), 'utf8');
    // After a wanted change: npx node scripts/dump-schema.ts
    expect(dumpSchema(database)).toBe(golden);
    database.close();
  });

  it.each([
    ['out of order', [20, 10]],
    ['twice the same', [10, 10]],
    ['not whole', [10, 10.5]],
  ])('is refused when its numbers are %s', (_, versions) => {
    const folder = temporaryFolder();
    const migrations = versions.map((version) => ({ version, up: () => undefined }));
    expect(() => open(folder, { migrations })).toThrow('must come with a number above');
  });
});

describe('a database of an older form', () => {
  // One fixture per released form; made by tests/fixtures/databases/make-database-fixture.ts.
  it.each(readdirSync(fixtures).filter((name) => name.endsWith('.sqlite')))(
    '%s is brought to the newest with all that it holds',
    (name) => {
      const folder = temporaryFolder();
      copyFileSync(new URL(name, fixtures), databasePath(folder));
      const database = open(folder);
      expect(database.pragma('user_version', { simple: true })).toBe(newest);
      expect(loadSettings(database)).toMatchObject({ torqueUnit: 'ftLbf', operator: 'Demo operator' });
      const { total, trials } = listTrials(database, { search: '', state: null, offset: 0, limit: 10 });
      expect(total).toBe(2);
      expect(trials.map(({ id, state }) => [id, state])).toEqual([
        ['trial-2', 'interrupted'],
        ['trial-1', 'kept'],
      ]);
      expect(getTrial(database, 'trial-1')).toMatchObject({
        conditions: { calibrationId, zeroCounts: 100.25, softwareVersion: '0.1.0' },
        figures: name < 'form-0060' ? figuresOfFirstDefinition : figures(),
        slotCount: 3000,
        lostSlots: 5,
      });
      const { counts, gaps, marks } = readRecording(database, 'trial-1');
      expect(gaps).toEqual([{ offset: 1010, length: 5 }]);
      expect(counts).toEqual(
        Int32Array.from({ length: 3000 }, (_, slot) => (slot >= 1010 && slot < 1015 ? 0 : 3 * slot - 4000)),
      );
      expect(marks).toHaveLength(3);
      database.close();
    },
  );

  it('from before amplifiers were kept names none, and takes them from then on', () => {
    const folder = temporaryFolder();
    copyFileSync(new URL('form-0010.sqlite', fixtures), databasePath(folder));
    const database = open(folder);
    expect(listAmplifiers(database)).toEqual([]);
    expect(listOwnProfiles(database)).toEqual([]);
    const old = getTrial(database, 'trial-1');
    expect(old).toMatchObject({
      conditions: { amplifierId: null, amplifierName: null },
      rateStandardErrorHz: null,
    });
    const { transducer } = old.conditions;
    expect(getCalibration(database, calibrationId).amplifierId).toBeNull();

    const { id: amplifierId } = keepAmplifier(database, {
      settings: {
        path: '/dev/ttyUSB0',
        profileId: 'counts',
        baudRate: 9600,
        nominalRateHz: 80,
        converterBits: 24,
      },
      usb: null,
      transducerId: transducer.id,
      at,
    });
    const made = calibration({ id: 'calibration-2', amplifierId });
    insertCalibration(database, made, { reason: 'New amplifier.' });
    expect(getCalibration(database, 'calibration-2')).toEqual(made);
    // What was fixed stays fixed, and what is new is fixed with it.
    for (const column of ['amplifier_id', 'forward_gain_nm_per_count', 'label']) {
      expect(() => database.exec(`UPDATE calibration SET ${column} = NULL`)).toThrow('never edited');
    }
    for (const column of ['amplifier_id', 'amplifier_name', 'profile_json', 'tool_name']) {
      expect(() => database.exec(`UPDATE trial SET ${column} = NULL`)).toThrow('never edited');
    }
    database.close();
  });

  it('with kept amplifiers keeps them, their profiles, and what was made with them', () => {
    const folder = temporaryFolder();
    copyFileSync(new URL('form-0020.sqlite', fixtures), databasePath(folder));
    const database = open(folder);
    const [amplifier] = listAmplifiers(database);
    expect(amplifier).toMatchObject({
      name: 'Demo amplifier',
      settings: { path: '/dev/demo', profileId: 'own-demo' },
      usb: { serialNumber: 'DEMO-1', vendorId: '1a2b', productId: null },
    });
    expect(listOwnProfiles(database)).toMatchObject([{ id: 'own-demo', name: 'Demo profile' }]);
    expect(getCalibration(database, 'calibration-2')).toMatchObject({
      transducerId: amplifier?.transducerId,
      amplifierId: amplifier?.id,
    });
    expect(getTrial(database, 'trial-1')).toMatchObject({
      conditions: { amplifierId: amplifier?.id, amplifierName: 'Demo amplifier' },
      rateStandardErrorHz: ended('kept').rateStandardErrorHz,
    });
    database.close();
  });

  it('from before run sheets has trials without setup and place, and fixes both from then on', () => {
    const folder = temporaryFolder();
    copyFileSync(new URL('form-0040.sqlite', fixtures), databasePath(folder));
    const database = open(folder);
    expect(getTrial(database, 'trial-1')).toMatchObject({
      summary: { setup: null, place: null },
      conditions: { setup: null, place: null, preparation: null, restedS: null, plannedRestS: null },
    });
    for (const column of [
      'setup_json',
      'place_json',
      'preparation_json',
      'entry_id',
      'preload_nm',
      'tool_name',
    ]) {
      expect(() => database.exec(`UPDATE trial SET ${column} = NULL`)).toThrow('never edited');
    }
    database.close();
  });

  it('from before the Logbook is found by tool and setup, in its order by strength, without note or other name', () => {
    const folder = temporaryFolder();
    copyFileSync(new URL('form-0040.sqlite', fixtures), databasePath(folder));
    // Of form 50 with a setup, as that one stored it.
    open(folder, { migrations: allMigrations.filter(({ version }) => version <= 50) }).close();
    const raw = new BetterSqlite3(databasePath(folder));
    raw.exec('DROP TRIGGER trial_conditions_are_fixed');
    const setup = {
      setupId: 'setup-1',
      toolId: 'tool-1',
      toolName: 'Hollin H5',
      supply: 'battery',
      declaredVibrationMps2: null,
      declaredNoiseDbA: null,
      packId: 'pack-1',
      packName: 'Größe 2',
      packCapacityAh: null,
      setting: '',
      socket: null,
    };
    raw.prepare(`UPDATE trial SET setup_json = ? WHERE id = 'trial-2'`).run(JSON.stringify(setup));
    raw.close();

    const database = open(folder);
    const list = (search: string, sort: 'newest' | 'strongest' = 'newest') =>
      listTrials(database, { search, state: null, sort, offset: 0, limit: 10 }).trials;
    expect(list('GRÖSSE').map(({ id }) => id)).toEqual([]);
    expect(list('größe hollin').map(({ id }) => id)).toEqual(['trial-2']);
    expect(list('', 'strongest').map(({ id }) => id)).toEqual(['trial-1', 'trial-2']);
    expect(list('hollin')).toMatchObject([
      { id: 'trial-2', setup, sustainedTorqueNm: null, qualityVerdict: null, hasNote: false, tags: [] },
      {
        id: 'trial-1',
        setup: null,
        sustainedTorqueNm: 321.5,
        qualityVerdict: 'good',
        hasNote: false,
        tags: [],
      },
    ]);
    const record = getTrial(database, 'trial-1');
    expect(record).toMatchObject({ annotations: [], relabellings: [] });
    expect(record.evaluations).toMatchObject([{ definitionVersion: 1, sustainedTorqueNm: 321.5 }]);
    expect(getSessionConditions(database, record.summary.sessionId)).toEqual({
      rigNote: '',
      ambientC: null,
      relativeHumidityPercent: null,
      airPressureHpa: null,
    });
    database.close();
  });

  it('from before calibrations were checked knows of no limit, no check and no doubt, and takes them from then on', () => {
    const folder = temporaryFolder();
    copyFileSync(new URL('form-0020.sqlite', fixtures), databasePath(folder));
    const database = open(folder);
    const old = getTrial(database, 'trial-1');
    expect(old).toMatchObject({ assignments: [], summary: { suspicion: null } });
    expect(getCalibration(database, calibrationId)).toMatchObject({
      forward: { gainNmPerCount: 0.00025, validToNm: 1000, curve: null },
      runId: null,
      validUntil: null,
      validForTrials: null,
    });
    expect(getCalibrationResult(database, calibrationId)).toBeNull();
    expect(listChecks(database, calibrationId)).toEqual([]);

    const check = insertCheck(database, {
      transducerId: old.conditions.transducer.id,
      calibrationId,
      at: '2026-03-05T05:00:00.000Z',
      operator: '',
      means: { kind: 'shunt' },
      zeroCounts: 0,
      readingCounts: 4000,
      referenceNm: 1,
      readingNm: 1.1,
      errorNm: 0.1,
      limitNm: 0.05,
      verdict: 'failed',
      reasons: [],
    });
    expect(listChecks(database, calibrationId)).toEqual([check]);
    expect(getTrial(database, 'trial-1').summary.suspicion).toMatchObject({
      checkId: check.id,
      decision: null,
    });
    database.close();
  });

  it('from before tools were compared has a score of each measured trial, from its newest evaluation', () => {
    const folder = temporaryFolder();
    copyFileSync(new URL('form-0060.sqlite', fixtures), databasePath(folder));
    const raw = new BetterSqlite3(databasePath(folder));
    // As that form stored it: measured once more, with all that a score is taken from.
    raw
      .prepare(
        `INSERT INTO trial_evaluation (trial_id, calibration_id, definition_version, at, figures_json)
         VALUES ('trial-1', ?, 2, ?, ?)`,
      )
      .run(calibrationId, at, JSON.stringify(fullFigures));
    // What that program never wrote must not keep anybody from all the rest.
    raw.exec(
      `INSERT INTO trial_evaluation (trial_id, calibration_id, definition_version, at, figures_json)
       VALUES ('trial-2', '${calibrationId}', 2, '${at}', '{"sustainedTorqueNm": 7}')`,
    );
    raw.close();

    const database = open(folder);
    const scores = (): unknown =>
      database
        .prepare(
          'SELECT trial_score.*, score_group.* FROM trial_score JOIN score_group ON score_group.id = group_id',
        )
        .all();
    const backfilled = {
      trial_id: 'trial-1',
      group_id: 1,
      id: 1,
      evaluation_id: 2,
      calibration_id: calibrationId,
      definition_version: 2,
      kind: 'tighten',
      direction: 'forward',
      planned_s: 5,
      preload_nm: null,
      is_simulated: 1,
      transducer_id: 'transducer-demo',
      rig_revision: '',
      nominal_rate_hz: 80,
      anti_alias_bandwidth_hz: null,
      window_s: 0.101,
      onset_level_nm: 15,
      round: null,
      sustained_nm: 400,
      final_nm: 395,
      torque_at_1_nm: 200,
      torque_at_2_nm: null,
      torque_at_3_nm: 300,
      torque_at_5_nm: 390,
      torque_at_10_nm: null,
      torque_at_15_nm: null,
      time_to_90_s: 1.25,
      time_to_level_json: '[{"levelNm":100,"timeS":0.5},{"levelNm":500,"timeS":null}]',
      stall_nm: null,
      released_preload_nm: null,
      last_nm: null,
    };
    expect(scores()).toEqual([backfilled]);
    expect(getTransducer(database, 'transducer-demo').rigRevision).toBe('');

    // From then on a trigger does what the step did: the same figures make the same row.
    saveEvaluation(database, 'trial-1', fullFigures, at);
    expect(scores()).toEqual([{ ...backfilled, evaluation_id: 4 }]);
    database.close();
  });
});
