import { randomUUID } from 'node:crypto';
import {
  type AmplifierProfile,
  CURVES_OF_A_FILE,
  readyMadeProfiles,
} from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type { ReadCurve } from '../../shared-lib/exchange/curves/read-curves.ts';
import { countLostSlots } from '../../shared-lib/signal/sample-block.ts';
import { DEFINITION_VERSION } from '../../shared-lib/trial/definition-version.ts';
import type { Transducer, TrialConditions } from '../../shared-lib/trial/trial-model.ts';
import { annotate } from '../storage/annotation-repository.ts';
import { encodeRun } from '../storage/block-codec.ts';
import { insertCalibration } from '../storage/calibration-repository.ts';
import { type WritableDatabase, writing } from '../storage/database.ts';
import { evaluateRecording } from '../storage/recording-evaluation.ts';
import {
  beginTrial,
  finishRecording,
  insertRawBlock,
  readRecording,
} from '../storage/recording-repository.ts';
import { createSession, endSession } from '../storage/session-repository.ts';
import { addTransducer, getTransducer } from '../storage/transducer-repository.ts';
import { getTrial } from '../storage/trial-repository.ts';
import type { CurvesImportWork, CurveToStore } from './curves-import.ts';

export interface CurvesToStore {
  readonly curves: readonly CurveToStore[];
  readonly fingerprint: string;
  readonly remarks: readonly string[];
}

const SLOTS_PER_ROW = 65_536;

/**
 * Stores curves as trials of one sitting on another bench, all or none, and returns their ids. What is not known of that bench
 * is not made up: no zero was taken, no amplifier is named, the transducer has no capacity, and its calibration is "as given".
 */
export function storeCurves(
  database: WritableDatabase,
  work: CurvesImportWork,
  toStore: CurvesToStore,
): string[] {
  return writing(database, () => {
    const origin = insertImport(database, work, toStore.fingerprint);
    const transducer = transducerOf(database, origin, work.asked.benchName);
    const calibration = insertCalibration(
      database,
      calibrationOf(transducer, work, toStore.curves),
      transducer.activeCalibrationId === null
        ? null
        : { reason: `Further curves of this bench were taken in from ${work.fileName}.` },
    );
    origin.mark('calibration', calibration.id);
    const sessionId = randomUUID();
    const { measuredAt } = work.asked;
    createSession(database, {
      id: sessionId,
      transducerId: transducer.id,
      startedAt: measuredAt,
      operator: '',
    });
    origin.mark('session', sessionId);
    const trialIds = toStore.curves.map((one) => {
      const trialId = randomUUID();
      storeTrial(database, work, one, {
        trialId,
        sessionId,
        transducer,
        calibration,
        remarks: toStore.remarks,
      });
      origin.mark('trial', trialId);
      return trialId;
    });
    endSession(database, sessionId, measuredAt);
    return trialIds;
  });
}

interface Origin {
  readonly benchId: string;
  readonly mark: (table: 'trial' | 'session' | 'transducer' | 'calibration', key: string) => void;
}

function insertImport(
  database: WritableDatabase,
  { asked, fileName, at, operator }: CurvesImportWork,
  fingerprint: string,
): Origin {
  // A bench that packages came from is known by its identity; a name alone does not make two benches one.
  const known = database
    .prepare<[string], string>(
      `SELECT bench.id FROM bench JOIN import ON bench_id = bench.id AND kind = 'curves'
       WHERE name = ? AND is_own = 0 LIMIT 1`,
    )
    .pluck()
    .get(asked.benchName);
  const benchId = known ?? randomUUID();
  if (known === undefined) {
    database.prepare('INSERT INTO bench (id, name, is_own) VALUES (?, ?, 0)').run(benchId, asked.benchName);
  }
  const importId = randomUUID();
  database
    .prepare(
      `INSERT INTO import (id, at, operator, kind, file_name, fingerprint, bench_id, details_json)
       VALUES (?, ?, ?, 'curves', ?, ?, ?, ?)`,
    )
    .run(importId, at, operator, fileName, fingerprint, benchId, JSON.stringify(asked));
  const insert = database.prepare(
    'INSERT INTO imported_row (table_name, row_key, bench_id, import_id) VALUES (?, ?, ?, ?)',
  );
  return { benchId, mark: (table, key) => insert.run(table, key, benchId, importId) };
}

/** One for each bench, so that its trials are those of one rig. */
function transducerOf(database: WritableDatabase, origin: Origin, benchName: string): Transducer {
  const known = database
    .prepare<[string], string>(
      `SELECT row_key FROM imported_row WHERE table_name = 'transducer' AND bench_id = ? LIMIT 1`,
    )
    .pluck()
    .get(origin.benchId);
  if (known !== undefined) return getTransducer(database, known);
  const added = addTransducer(database, `Imported: ${benchName}`.slice(0, 80));
  origin.mark('transducer', added.id);
  return added;
}

function calibrationOf(
  transducer: Transducer,
  { asked, fileName, operator, at }: CurvesImportWork,
  curves: readonly CurveToStore[],
): CalibrationVersion {
  const sense = {
    gainNmPerCount: curves[0]?.curve.gainNmPerCount ?? 1,
    validToNm: Math.max(...curves.map(({ trial }) => trial.largestNm)),
    curve: null,
  };
  const stated =
    asked.uncertaintyPercent === null
      ? 'No uncertainty was stated.'
      : 'Its uncertainty is the one that was stated, taken for k = 2.';
  return {
    id: randomUUID(),
    transducerId: transducer.id,
    amplifierId: null,
    label: `As given in ${fileName}`.slice(0, 120),
    method: 'direct',
    runId: null,
    validUntil: null,
    validForTrials: null,
    forward: sense,
    reverse: sense,
    enteredUncertaintyPercent: asked.uncertaintyPercent,
    input: null,
    operator,
    note: `Torque as given in the file; how that bench was calibrated is not known here. ${stated}`,
    createdAt: at,
    supersededAt: null,
    supersedeReason: null,
  };
}

interface Place {
  readonly trialId: string;
  readonly sessionId: string;
  readonly transducer: Transducer;
  readonly calibration: CalibrationVersion;
  readonly remarks: readonly string[];
}

function storeTrial(
  database: WritableDatabase,
  work: CurvesImportWork,
  { curve, trial, toolName }: CurveToStore,
  { trialId, sessionId, transducer, calibration, remarks }: Place,
): void {
  const { asked, at, operator } = work;
  const { kind, direction, measuredAt } = asked;
  const conditions: TrialConditions = {
    transducer: { ...transducer, activeCalibrationId: calibration.id, senseSign: trial.senseSign },
    calibrationId: calibration.id,
    amplifierId: null,
    amplifierName: null,
    profile: profileOf(curve),
    clockSource: asked.mapping.timeColumn === null ? 'sequence' : 'deviceTime',
    zeroCounts: 0,
    noiseNm: trial.noiseNm,
    onsetLevelNm: trial.onsetLevelNm,
    softwareVersion: work.softwareVersion,
    definitionVersion: DEFINITION_VERSION,
    setup: null,
    place: null,
    preparation: null,
    restedS: null,
    plannedRestS: null,
  };
  beginTrial(
    database,
    {
      id: trialId,
      sessionId,
      startedAt: measuredAt,
      step: { toolName, kind, direction, plannedS: trial.plannedS },
      conditions,
      onsetSlot: trial.onsetSlot,
      isSimulated: false,
    },
    [],
  );
  for (const columns of rowsOf(curve)) insertRawBlock(database, trialId, columns);
  const figures = evaluateRecording(database, getTrial(database, trialId), readRecording(database, trialId), {
    sampleRateHz: curve.sampleRateHz,
    zeroAfterCounts: null,
    levelsNm: work.levelsNm,
  });
  finishRecording(database, trialId, {
    state: 'kept',
    interruption: null,
    zeroAfterCounts: null,
    sampleRateHz: curve.sampleRateHz,
    rateResidualUs: null,
    rateStandardErrorHz: null,
    onsetSlot: trial.onsetSlot,
    figures,
    // Its curve was on the screen before it was taken in.
    decision: {
      decision: 'kept',
      reason: reasonOf(work, curve, trial.beginsUnderTorque, remarks),
      figuresShown: true,
      operator,
      at,
    },
    finishedAt: at,
  });
  if (asked.note !== '') annotate(database, trialId, { note: asked.note, tags: [], operator, at });
}

function reasonOf(
  { fileName, asked }: CurvesImportWork,
  { label, gaps }: ReadCurve,
  beginsUnderTorque: boolean,
  remarks: readonly string[],
): string {
  const lost = countLostSlots(gaps);
  return [
    `Imported from ${fileName}, “${label}”, of ${asked.benchName}.`,
    ...(beginsUnderTorque ? ['The record begins under torque, so time counts from its first sample.'] : []),
    ...(lost > 0 ? [`${lost} samples are missing in the file.`] : []),
    ...remarks,
  ].join(' ');
}

/** Of the amplifier nothing is known but its rate; whole numbers of 32 bits have no rails here. */
function profileOf({ nominalRateHz }: ReadCurve): AmplifierProfile {
  const [counts] = readyMadeProfiles;
  if (counts === undefined) throw new Error('There is no ready-made profile');
  return {
    ...counts,
    id: CURVES_OF_A_FILE,
    name: 'Curves of a file',
    example: '',
    nominalRateHz,
    converterBits: 32,
  };
}

function rowsOf({ counts, gaps }: ReadCurve): ReturnType<typeof encodeRun>[] {
  return Array.from({ length: Math.ceil(counts.length / SLOTS_PER_ROW) }, (_, index) => {
    const firstSlot = index * SLOTS_PER_ROW;
    const end = Math.min(counts.length, firstSlot + SLOTS_PER_ROW);
    const own = gaps.flatMap(({ offset, length }) => {
      const from = Math.max(offset, firstSlot);
      const to = Math.min(offset + length, end);
      return from < to ? [{ offset: from - firstSlot, length: to - from }] : [];
    });
    return encodeRun({ firstSlot, counts: counts.slice(firstSlot, end), gaps: own, marks: [] }, 'packed');
  });
}
