import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openDatabase } from '../../main/storage/open-database.ts';
import { saveSettings } from '../../main/storage/settings-repository.ts';
import { fillCatalogue } from '../../scripts/demo/fill-catalogue.ts';
import { fillTrials } from '../../scripts/demo/fill-workshop.ts';
import type { Subject } from '../../shared-lib/publishing/publishing-model.ts';
import { type Report, reportSchema } from '../../shared-lib/report/report-model.ts';
import { makeDataFolder, type RunningServices, startRealServices } from '../helpers/running-services.ts';
import { sectionOf, wordsOf } from '../helpers/scripted-reports.ts';

/** What reports say of the invented workshop, held to what the places show by the same requests. */
const folder = makeDataFolder();
let running: RunningServices;

beforeAll(async () => {
  const database = openDatabase({
    filePath: join(folder.path, 'proofarm.db'),
    backupFolder: join(folder.path, 'backups'),
    now: () => new Date('2026-02-20T09:00:00.000Z'),
    log: { info: () => undefined, warn: () => undefined },
  });
  fillTrials(database);
  await fillCatalogue(database);
  saveSettings(database, { connectAtStart: 'none' });
  database.close();
  running = await startRealServices(folder.path);
}, 120_000);

afterAll(async () => {
  await running.close();
  folder.remove();
});

async function reportOf(subject: Subject, torqueUnit: 'Nm' | 'ftLbf' = 'Nm'): Promise<Report> {
  return reportSchema.parse(await running.handlers.getReport({ subject, torqueUnit }));
}

/** The session with the most trials, where things go wrong as well. */
async function longestSession() {
  const { sessions } = await running.handlers.listSessions({ offset: 0, limit: 50 });
  const [longest] = sessions.toSorted((one, other) => other.trialCount - one.trialCount);
  return longest!;
}

const everyTrial = { search: '', state: null, offset: 0, limit: 500 } as const;

describe('the report of a session of the demo workshop', () => {
  it('has each of its trials once, and every void with the reason that is stored', async () => {
    const session = await longestSession();
    const report = await reportOf({ kind: 'session', sessionId: session.id });
    expect(report.isSimulated).toBe(true);
    const rows = sectionOf(report, 'Every trial')
      .split('\n')
      .filter((line) => /^\d+ \| /.test(line));
    expect(rows).toHaveLength(session.trialCount);
    const { voided, skipped } = await running.handlers.getSessionReport({ sessionId: session.id });
    expect(voided.length).toBeGreaterThan(0);
    for (const { reason } of voided) expect(sectionOf(report, 'Every trial')).toContain(`“${reason}”`);
    for (const { reason } of skipped) expect(sectionOf(report, 'Skipped')).toContain(reason);
    const where = sectionOf(report, 'Where the data are');
    const { trials } = await running.handlers.listTrials({ ...everyTrial, sessionId: session.id });
    for (const { id } of trials) expect(where).toContain(`| ${id} | data/trial.csv`);
  });

  it('has pictures of it, with what they show in words', async () => {
    const { id } = await longestSession();
    const report = await reportOf({ kind: 'session', sessionId: id });
    const kinds = report.sections.flatMap(({ blocks }) =>
      blocks.flatMap((block) => (block.kind === 'chart' ? [block.chart.kind] : [])),
    );
    expect(kinds).toContain('means');
  });
});

describe('the report of a trial', () => {
  it('shows the figure that the Logbook shows, in the unit that was asked for', async () => {
    const { trials } = await running.handlers.listTrials({ ...everyTrial, state: 'kept', limit: 1 });
    const [{ id, sustainedTorqueNm }] = trials as [(typeof trials)[0]];
    const newtonMetres = sectionOf(await reportOf({ kind: 'trial', trialId: id }), 'Figures');
    expect(newtonMetres).toContain(`Sustained torque | ${sustainedTorqueNm!.toFixed(1)} N·m`);
    const footPounds = sectionOf(await reportOf({ kind: 'trial', trialId: id }, 'ftLbf'), 'Figures');
    // 1 ft·lbf = 1.3558179483 N·m (NIST SP 811, appendix B.8).
    expect(footPounds).toContain(
      `Sustained torque | ${(sustainedTorqueNm! / 1.3558179483).toFixed(1)} ft·lbf`,
    );
  });

  it('names the calibration that the trial is read by', async () => {
    const { trials } = await running.handlers.listTrials({ ...everyTrial, state: 'kept', limit: 1 });
    const record = await running.handlers.getTrial({ trialId: trials[0]!.id });
    const report = await reportOf({ kind: 'trial', trialId: trials[0]!.id });
    expect(sectionOf(report, 'Calibration')).toContain(`Identity: ${record.figures!.calibrationId}`);
  });

  it('says of an interrupted one what happened, and gives no figure away', async () => {
    const { trials } = await running.handlers.listTrials({ ...everyTrial, state: 'interrupted' });
    const report = await reportOf({ kind: 'trial', trialId: trials[0]!.id });
    expect(sectionOf(report, 'In short')).toContain('! Interrupted:');
    expect(report.sections.map(({ heading }) => heading)).not.toContain('Figures');
  });
});

describe('the report of a comparison', () => {
  it('has the verdict as it is shown, and each trial behind it', async () => {
    const asked = {
      step: { kind: 'tighten', direction: 'forward', plannedS: 5 },
      measure: { figure: 'sustainedTorque' },
      a: 'setup:setup-demo-hollin',
      b: 'setup:setup-demo-tarnwick',
      sessionIds: null,
      isForced: false,
    } as const;
    const { contenders } = await running.handlers.listContenders({});
    const keyOf = (tool: string) => contenders.find(({ toolName }) => toolName === tool)!.key;
    const pair = { ...asked, a: keyOf('Hollin H5'), b: keyOf('Tarnwick T6') };
    const { result } = await running.handlers.compare(pair);
    const report = await reportOf({ kind: 'comparison', asked: pair });
    expect(sectionOf(report, 'Verdict')).toContain(result!.sentence.replaceAll('\u202f', ' '));
    const where = sectionOf(report, 'Where the data are');
    for (const { trialId } of result!.trials) expect(where).toContain(trialId);
    for (const words of result!.cautions) {
      expect(sectionOf(report, 'Cautions')).toContain(words.replaceAll('\u202f', ' '));
    }
  });

  it('of two that are one and the same says that they are not compared, and why', async () => {
    const { contenders } = await running.handlers.listContenders({});
    const [{ key, steps }] = contenders as [(typeof contenders)[0]];
    const report = await reportOf({
      kind: 'comparison',
      asked: {
        step: steps[0]!.step,
        a: key,
        b: key,
        sessionIds: null,
        isForced: false,
        measure: { figure: 'sustainedTorque' },
      },
    });
    expect(report.subtitle).toBe('Not compared');
    expect(wordsOf(report)).toContain('one and the same setup');
  });
});

describe('the report of standings', () => {
  it('of the table as it is now has the places that it shows', async () => {
    const { tables } = await running.handlers.listStandingsTables({});
    const [{ id }] = tables as [(typeof tables)[0]];
    const standings = await running.handlers.getStandings({ tableId: id });
    const report = await reportOf({ kind: 'standings', tableId: id });
    const places = sectionOf(report, 'Standings');
    for (const { place, contender } of standings.rows) {
      expect(places).toMatch(new RegExp(`^${place} \\|.*${contender.label}`, 'm'));
    }
    for (const { contender } of standings.notRanked) {
      expect(sectionOf(report, 'Not ranked')).toContain(contender.label);
    }
  }, 60_000);

  it('of an edition carries its fingerprint and what became of its trials since', async () => {
    const { tables } = await running.handlers.listStandingsTables({});
    const editions = await Promise.all(
      tables.map(async ({ id }) => (await running.handlers.listEditions({ tableId: id })).editions),
    );
    const [edition] = editions.flat();
    const { sinceThen } = await running.handlers.getEdition({ editionId: edition!.id });
    const report = await reportOf({ kind: 'edition', editionId: edition!.id });
    expect(sectionOf(report, 'Where the data are')).toContain(edition!.fingerprint);
    for (const sentence of sinceThen) {
      expect(sectionOf(report, 'Since then')).toContain(sentence.replaceAll('\u202f', ' '));
    }
  });
});

describe('what there is no report of', () => {
  it('is refused with a code and a sentence, and nothing is made', async () => {
    await expect(reportOf({ kind: 'trial', trialId: 'nobody' })).rejects.toMatchObject({
      code: 'trial-not-found',
    });
    await expect(reportOf({ kind: 'everything' })).rejects.toMatchObject({ code: 'invalid-request' });
    await expect(reportOf({ kind: 'edition', editionId: 'none' })).rejects.toMatchObject({
      code: 'edition-not-found',
    });
    await expect(reportOf({ kind: 'calibration', calibrationId: 'none' })).rejects.toMatchObject({
      code: 'calibration-not-found',
    });
  });
});
