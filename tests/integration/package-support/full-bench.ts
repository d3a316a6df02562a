import { planRun } from '../../../shared-lib/calibration/plan-run.ts';
import { fillCatalogue } from '../../../scripts/demo/fill-catalogue.ts';
import { fillTrials } from '../../../scripts/demo/fill-workshop.ts';
import { keepAmplifier } from '../../../main/storage/amplifier-repository.ts';
import { annotate } from '../../../main/storage/annotation-repository.ts';
import { assignCalibration } from '../../../main/storage/assignment-repository.ts';
import { getCalibration, insertCalibration } from '../../../main/storage/calibration-repository.ts';
import { insertCheck, insertOverload } from '../../../main/storage/check-repository.ts';
import type { WritableDatabase } from '../../../main/storage/database.ts';
import { insertPhoto } from '../../../main/storage/photo-repository.ts';
import { insertRating, withdrawRating } from '../../../main/storage/rating-repository.ts';
import { appendFault, beginTrial, finishRecording } from '../../../main/storage/recording-repository.ts';
import { relabel } from '../../../main/storage/relabelling-repository.ts';
import { insertRinging } from '../../../main/storage/ringing-repository.ts';
import { insertReading, insertRun, insertRunEvent } from '../../../main/storage/run-repository.ts';
import { appendRunSheetEvent } from '../../../main/storage/run-sheet-events.ts';
import { decideSuspects, listSuspectTrialIds } from '../../../main/storage/suspicion-repository.ts';
import { insertMerge } from '../../../main/storage/tool-merge-repository.ts';
import { getTransducer } from '../../../main/storage/transducer-repository.ts';
import { getTrial, newestFigures, recordDecision } from '../../../main/storage/trial-repository.ts';
import { demoSetup } from '../../helpers/run-setups.ts';
import { block, decision, ended, newTrial } from '../storage-support/bench-fixture.ts';
import { markOf } from '../storage-support/mark-of.ts';

const operator = 'Rowan (demo), "at the vice"\r\nand again';
const at = '2026-03-21T10:00:00.000Z';
const transducerId = 'demo-transducer';
/** What a spreadsheet, a terminal and a parser each would stumble over. */
export const awkwardText = '=1+1, "quoted"\r\nsecond line\u2028, tab\t, ё, 😀 ';

/** The smallest picture that is told as a PNG. */
export const picture = Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 1, 2, 3]);

/** The demo's workshop, and a row at least in every table that travels, with texts that are awkward in CSV. */
export async function fillFullBench(database: WritableDatabase): Promise<void> {
  fillTrials(database);
  await fillCatalogue(database);
  guidedCalibration(database);
  checksAndTaps(database);
  tools(database);
  decisions(database);
  recordThatEndsInLostSlots(database);
}

function guidedCalibration(database: WritableDatabase): void {
  keepAmplifier(database, {
    settings: {
      path: '/dev/serial/secret-of-this-bench',
      profileId: 'counts',
      baudRate: 115_200,
      nominalRateHz: 1000,
      converterBits: 24,
    },
    usb: { serialNumber: 'secret-number', vendorId: '1209', productId: '0001' },
    transducerId,
    at,
  });
  const amplifierId = database.prepare<[], string>('SELECT id FROM amplifier').pluck().get() ?? '';
  const setup = demoSetup(2);
  for (const id of ['run-b', 'run-a']) {
    const readings = planRun(setup, { arm: [24.5, 49], shortArm: [] });
    insertRun(database, {
      id,
      transducerId,
      amplifierId,
      isSimulated: true,
      setup,
      readings,
      operator,
      startedAt: at,
    });
    for (let index = 0; index < 3; index += 1) {
      insertReading(database, id, {
        index,
        meanCounts: Math.PI * 1e5 * index,
        standardDeviationCounts: 2.5e-7,
        spreadCounts: 7.125,
        driftCountsPerS: -0.5,
        sampleCount: 500,
        durationS: 0.5,
        takenAt: at,
        by: 'steady',
        flags: [{ code: 'x', sentence: awkwardText }],
      });
    }
    const readingId = Number(database.prepare('SELECT max(id) FROM calibration_reading').pluck().get());
    insertRunEvent(database, id, { kind: 'withdrawn', readingIndex: 2, readingId, reason: '', operator, at });
    insertRunEvent(database, id, {
      kind: id === 'run-a' ? 'accepted' : 'discarded',
      reason: 'Bent.',
      operator,
      at,
    });
  }
  const version = getCalibration(database, 'demo-calibration-2');
  insertCalibration(
    database,
    { ...version, id: 'calibration-of-run', amplifierId, runId: 'run-a', label: 'By weights', createdAt: at },
    { reason: 'A guided one.' },
  );
}

function checksAndTaps(database: WritableDatabase): void {
  const calibrationId = 'demo-calibration-2';
  for (const [day, verdict] of [
    ['2026-03-09T12:00:00.000Z', 'passed'],
    ['2026-03-16T12:00:00.000Z', 'failed'],
  ] as const) {
    insertCheck(database, {
      transducerId,
      calibrationId,
      at: day,
      operator,
      means: { kind: 'shunt' },
      zeroCounts: 0.1,
      readingCounts: 1e5 + 1 / 3,
      referenceNm: 300,
      readingNm: 301.5,
      errorNm: 1.5,
      limitNm: verdict === 'failed' ? 1 : null,
      verdict,
      reasons: [{ rule: 'x', isBroken: verdict === 'failed', sentence: awkwardText }],
    });
  }
  insertOverload(database, { transducerId, calibrationId, at, torqueNm: 1501.25 });
  insertRinging(database, {
    transducerId,
    calibrationId,
    at,
    operator,
    sampleRateHz: 1000,
    zeroCounts: -12.5,
    senseSign: -1,
    tapSlot: 2.5,
    counts: Int32Array.from([-1, 0, 2 ** 31 - 1, -(2 ** 31)]),
    analysis: {
      frequencyHz: null,
      dampingRatio: null,
      decayS: null,
      sentences: ['No.'],
      refusedMeasures: [],
    },
  });
}

function tools(database: WritableDatabase): void {
  insertPhoto(
    database,
    {
      id: 'photo-1',
      toolId: 'demo-hollin-h5',
      caption: awkwardText.trim(),
      mediaType: 'image/png',
      addedAt: at,
    },
    picture,
    12,
  );
  insertRating(database, {
    toolId: 'demo-hollin-h5',
    rater: 'Rowan',
    score: 7.5,
    isBlind: false,
    note: '',
    at,
  });
  const ratingId = Number(database.prepare('SELECT max(id) FROM handling_rating').pluck().get());
  withdrawRating(database, { ratingId, reason: 'With gloves.', operator, at });
  insertMerge(database, {
    toolId: 'demo-hollin-h-5',
    intoToolId: 'demo-hollin-h5',
    reason: 'One tool.',
    operator,
    at,
  });
  insertMerge(database, { toolId: 'demo-hollin-h-5', intoToolId: null, reason: 'It is not.', operator, at });
}

function decisions(database: WritableDatabase): void {
  const [trialId = ''] = listSuspectTrialIds(database, transducerId);
  decideSuspects(
    database,
    { trialIds: [trialId], checkId: markOf(database, trialId) },
    { decision: 'usable', reason: 'Repeated.', operator, at },
  );
  annotate(database, trialId, { note: awkwardText, tags: ['first', 'Ä tag'], operator, at });
  annotate(database, trialId, { note: '', tags: [], operator, at });
  relabel(database, trialId, {
    toolName: 'Brindlow B4',
    setup: null,
    reason: 'Typed wrongly.',
    operator,
    at,
  });
  const figures = newestFigures(database, trialId);
  if (figures === null) throw new Error('The demo has a trial without figures');
  assignCalibration(
    database,
    trialId,
    { calibrationId: 'calibration-of-run', reason: 'Better.', operator, at },
    { ...figures, calibrationId: 'calibration-of-run' },
  );
  recordDecision(database, trialId, decision('voided', { reason: 'Slipped.', operator, figuresShown: true }));
  const sheet = { runSheetId: 'demo-sheet-3', sessionId: 'demo-session-3', operator, at };
  const [entryId = ''] = database
    .prepare<[], string>(
      `SELECT id FROM run_sheet_entry WHERE run_sheet_id = 'demo-sheet-3' ORDER BY position`,
    )
    .pluck()
    .all();
  appendRunSheetEvent(database, { ...sheet, kind: 'opened' });
  appendRunSheetEvent(database, { ...sheet, kind: 'skipped', entryId, reason: 'No battery.' });
  appendRunSheetEvent(database, { ...sheet, kind: 'moved', entryId, beforeEntryId: null });
  database
    .prepare(
      `INSERT INTO session_step_level (session_id, kind, direction, onset_level_nm, noise_nm)
       VALUES ('demo-session-2', 'tighten', 'forward', 15, 0.1), ('demo-session-2', 'stall', 'reverse', 15.5, 1e-9)`,
    )
    .run();
}

/** The last thing that was heard was that samples were missing. */
export const lostAtEnd = { trialId: 'trial-lost-at-end', slotCount: 9, lost: [2, 3, 7, 8] };

function recordThatEndsInLostSlots(database: WritableDatabase): void {
  const { conditions, summary } = getTrial(database, 'demo-session-2-pull-60');
  const { trialId } = lostAtEnd;
  const trial = newTrial(getTransducer(database, transducerId), {
    id: trialId,
    sessionId: 'demo-session-2',
    startedAt: '2026-03-10T18:00:00.000Z',
    conditions,
    step: summary.step,
  });
  beginTrial(database, trial, [
    { ...block(0, [-5, 2_147_483_647, 0, 0], 1_000_000), gaps: [{ offset: 2, length: 2 }] },
    { ...block(4, [-2_147_483_648, 1, 2, 0, 0], 1_004_321), gaps: [{ offset: 3, length: 2 }] },
  ]);
  appendFault(database, trialId, {
    kind: 'sequenceGap',
    at,
    atS: 0.002,
    count: 2,
    sentence: 'Two are missing.',
  });
  finishRecording(database, trialId, ended('interrupted', { figures: null }));
}
