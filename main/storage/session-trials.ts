import { z } from 'zod';
import { foldName } from '../../shared-lib/catalogue/fold-name.ts';
import { contenderLookupOf } from '../../shared-lib/comparison/contender-lookup.ts';
import { describeSetup, describeEntry } from '../../shared-lib/run-sheet/describe-entry.ts';
import type { ExposedPull } from '../../shared-lib/run-sheet/exposure.ts';
import { planSchema } from '../../shared-lib/run-sheet/plan-model.ts';
import { roleSchema } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import type { SessionReport } from '../../shared-lib/run-sheet/session-model.ts';
import { setupAsTestedSchema } from '../../shared-lib/run-sheet/setup-model.ts';
import { stepSchema } from '../../shared-lib/trial/step-model.ts';
import type { TrialSummary } from '../../shared-lib/trial/trial-model.ts';
import { listBenchItems } from './bench-item-repository.ts';
import { listMerges } from './contender-repository.ts';
import { type ReadableDatabase, reading } from './database.ts';
import { fromJsonColumn } from './json-column.ts';
import { createSuspicionLookup } from './suspicion-repository.ts';
import { inTime, selectSummaries, setupIn, type SummaryRow, toSummary } from './trial-summary.ts';

/** What of the trials of a session goes into its report, in the order in which they were pulled. */
export interface SessionTrial {
  readonly summary: TrialSummary;
  readonly calibrationId: string;
  readonly amplifierId: string | null;
  readonly zeroCounts: number;
  readonly senseSign: 1 | -1;
}

const senseSignSchema = z.literal([1, -1]);

export function listSessionTrials(database: ReadableDatabase, sessionId: string): SessionTrial[] {
  return reading(() => {
    const suspicionOf = createSuspicionLookup(database);
    return database
      .prepare<
        [string],
        SummaryRow & { amplifier_id: string | null; zero_counts: number; sense_sign: number }
      >(
        `SELECT summary.*, amplifier_id, zero_counts, transducer_json ->> '$.senseSign' AS sense_sign
         FROM (${selectSummaries} WHERE session_id = ? AND state <> 'recording') AS summary JOIN trial USING (id)
         ORDER BY summary.started_at, summary.id`,
      )
      .all(sessionId)
      .map((row) => ({
        summary: toSummary(row, suspicionOf(inTime(row))),
        calibrationId: row.calibration_id,
        amplifierId: row.amplifier_id,
        zeroCounts: row.zero_counts,
        senseSign: senseSignSchema.parse(row.sense_sign),
      }));
  });
}

interface PullRow {
  id: string;
  toolName: string;
  shown_setup_json: string | null;
  planned_s: number;
  /** As measured; null where the trial was not measured, or by an older definition. */
  trigger_s: number | null;
  /** What was recorded from onset on. */
  recorded_s: number | null;
}

/**
 * Every pull of a session that has ended, whatever was decided about it: the hand felt it all the same. One that was not
 * measured counts with what was recorded of it. What its setup declared at the time counts; where that says nothing, or there is no
 * setup, what is known now of the tool that it counts to.
 */
export function listSessionPulls(database: ReadableDatabase, sessionId: string): ExposedPull[] {
  return reading(() => {
    const items = listBenchItems(database);
    const lookup = contenderLookupOf(items, listMerges(database));
    const toolById = new Map(items.tools.map((tool) => [tool.id, tool]));
    return database
      .prepare<[string], PullRow>(
        `SELECT id, shown_tool_name AS toolName, shown_setup_json, planned_s,
           (SELECT figures_json ->> '$.triggerS' FROM trial_evaluation WHERE trial_id = trial.id
            ORDER BY id DESC LIMIT 1) AS trigger_s,
           ((SELECT max(first_slot + slot_count) FROM raw_block WHERE trial_id = trial.id) - 1 - onset_slot)
             / coalesce(sample_rate_hz, profile_json ->> '$.nominalRateHz') AS recorded_s
         FROM trial WHERE session_id = ? AND state <> 'recording' ORDER BY started_at, id`,
      )
      .all(sessionId)
      .map((row) => {
        const setup = setupIn(row.shown_setup_json, row.id);
        const key = lookup.keyOf(setup?.setupId ?? null, foldName(row.toolName));
        const { toolId } = lookup.contenderOf(key, row.toolName, false);
        const tool = toolId === null ? undefined : toolById.get(toolId);
        return {
          toolName: row.toolName,
          isListed: tool !== undefined,
          triggerS: row.trigger_s ?? Math.min(row.planned_s, Math.max(0, row.recorded_s ?? 0)),
          vibrationMps2: setup?.declaredVibrationMps2 ?? tool?.declaredVibrationMps2 ?? null,
          noiseDbA: setup?.declaredNoiseDbA ?? tool?.declaredNoiseDbA ?? null,
        };
      });
  });
}

/** Trials that are voided now, each with its newest void, in the order in which they were pulled. */
export function listSessionVoids(database: ReadableDatabase, sessionId: string): SessionReport['voided'] {
  return reading(() =>
    database
      .prepare<
        [string],
        {
          trialId: string;
          toolName: string;
          shown_setup_json: string | null;
          reason: string;
          figures_shown: number;
          at: string;
        }
      >(
        `SELECT trial.id AS trialId, shown_tool_name AS toolName, shown_setup_json, newest.reason, newest.figures_shown,
           newest.at
         FROM trial JOIN trial_decision AS newest ON newest.id = (
           SELECT max(id) FROM trial_decision WHERE trial_id = trial.id AND decision = 'voided'
         )
         WHERE session_id = ? AND is_voided = 1 ORDER BY started_at, trial.id`,
      )
      .all(sessionId)
      .map(({ toolName, shown_setup_json, figures_shown, ...row }) => {
        const setup = setupIn(shown_setup_json, row.trialId);
        return {
          ...row,
          label: setup === null ? toolName : describeSetup(setup),
          figuresShown: figures_shown === 1,
        };
      }),
  );
}

/**
 * Entries of run sheets that were skipped in a session and are so still, in the order in which that was decided. What was
 * skipped before the first session of that sitting had begun counts to it.
 */
export function listSessionSkips(database: ReadableDatabase, sessionId: string): SessionReport['skipped'] {
  return reading(() =>
    database
      .prepare<
        [{ sessionId: string }],
        {
          id: string;
          reason: string;
          setup_json: string;
          step_json: string;
          role: string;
          round: number;
          repeat: number;
          plan_json: string;
        }
      >(
        `SELECT entry.id, skipped.reason, entry.setup_json, entry.step_json, entry.role, entry.round, entry.repeat,
           plan_json
         FROM run_sheet_event AS skipped
         JOIN run_sheet_entry AS entry ON entry.id = skipped.entry_id
         JOIN run_sheet ON run_sheet.id = entry.run_sheet_id
         JOIN session ON session.id = @sessionId
         WHERE skipped.kind = 'skipped'
           AND (skipped.session_id = session.id OR (
             skipped.session_id IS NULL AND skipped.at <= session.started_at
             AND skipped.at > coalesce(
               (SELECT max(started_at) FROM session AS earlier WHERE earlier.started_at < session.started_at), ''
             )
           ))
           AND skipped.id = (
             SELECT max(id) FROM run_sheet_event
             WHERE entry_id = entry.id AND kind IN ('skipped', 'skipTakenBack')
           )
           -- Pulled all the same, later on.
           AND NOT EXISTS (
             SELECT 1 FROM trial WHERE entry_id = entry.id AND state = 'kept' AND is_voided = 0
           )
         ORDER BY skipped.id`,
      )
      .all({ sessionId })
      .map((row) => {
        const entry = {
          setup: fromJsonColumn(setupAsTestedSchema, row.setup_json, `setup of entry ${row.id}`),
          step: fromJsonColumn(stepSchema, row.step_json, `step of entry ${row.id}`),
          role: roleSchema.parse(row.role),
          round: row.round,
          repeat: row.repeat,
        };
        const plan = fromJsonColumn(planSchema, row.plan_json, `plan of the entry ${row.id}`);
        return { label: describeEntry(entry, plan), reason: row.reason };
      }),
  );
}
