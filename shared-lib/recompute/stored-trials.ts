import { amplifierProfileSchema } from '../amplifier/amplifier-profile.ts';
import { placeInSheetSchema } from '../run-sheet/run-sheet-model.ts';
import { preparationSchema, type SetupAsTested, setupAsTestedSchema } from '../run-sheet/setup-model.ts';
import type { Step } from '../trial/step-model.ts';
import { stepSchema } from '../trial/step-model.ts';
import {
  type FaultEvent,
  faultEventSchema,
  interruptionReasonSchema,
  transducerSchema,
  type TrialConditions,
  trialConditionsSchema,
  type TrialFigures,
  trialFiguresSchema,
} from '../trial/trial-model.ts';
import { NotAPackage } from './not-a-package.ts';
import type { PackageTables } from './read-tables.ts';
import { reasonOf, type TableRow } from './table-row.ts';

export interface StoredDecision {
  readonly decision: string;
  readonly at: string;
}

export interface StoredEvaluation {
  readonly where: string;
  readonly at: string;
  readonly calibrationId: string;
  readonly definitionVersion: number;
  readonly figures: TrialFigures;
}

export interface StoredNaming {
  readonly at: string;
  readonly toolName: string;
  readonly setup: SetupAsTested | null;
}

/** A trial as its rows have it; lists are oldest first. */
export interface StoredTrial {
  readonly id: string;
  readonly row: TableRow;
  readonly sessionId: string;
  readonly startedAt: string;
  readonly isSimulated: boolean;
  /** With the name that it was made under. */
  readonly step: Step;
  readonly conditions: TrialConditions;
  readonly interruption: string | null;
  readonly slotCount: number;
  /** As found live. */
  readonly onsetSlot: number;
  readonly sampleRateHz: number | null;
  readonly zeroAfterCounts: number | null;
  readonly faults: readonly FaultEvent[];
  readonly decisions: readonly StoredDecision[];
  readonly evaluations: readonly StoredEvaluation[];
  readonly assignments: readonly { readonly calibrationId: string; readonly at: string }[];
  /** As it was made first, then as it was put right. */
  readonly namings: readonly [StoredNaming, ...StoredNaming[]];
}

/** Those that can be read; what is wrong with the others is reported. */
export function readTrials(tables: PackageTables, report: (error: NotAPackage) => void): StoredTrial[] {
  return tables.rows('trial').flatMap((row) => {
    try {
      return [toTrial(row, tables)];
    } catch (error) {
      if (!(error instanceof NotAPackage)) throw error;
      report(error);
      return [];
    }
  });
}

interface Schema<Value> {
  safeParse(value: unknown): { success: true; data: Value } | { success: false; error: Error };
}

function checked<Value>(schema: Schema<Value>, value: unknown, where: string): Value {
  const read = schema.safeParse(value);
  if (!read.success) throw new NotAPackage(where, reasonOf(read.error));
  return read.data;
}

function toTrial(row: TableRow, tables: PackageTables): StoredTrial {
  const id = row.text('id');
  const of = (table: string): readonly TableRow[] => tables.by(table, 'trial_id').get(id) ?? [];
  const kind = row.text('kind');
  const preloadNm = row.numberOrNull('preload_nm');
  const conditions = checked(
    trialConditionsSchema,
    {
      transducer: row.json('transducer_json', transducerSchema),
      calibrationId: row.text('calibration_id'),
      amplifierId: row.textOrNull('amplifier_id'),
      amplifierName: row.textOrNull('amplifier_name'),
      profile: row.json('profile_json', amplifierProfileSchema),
      clockSource: row.text('clock_source'),
      zeroCounts: row.number('zero_counts'),
      noiseNm: row.number('noise_nm'),
      onsetLevelNm: row.number('onset_level_nm'),
      softwareVersion: row.text('software_version'),
      definitionVersion: row.number('definition_version'),
      setup: row.jsonOrNull('setup_json', setupAsTestedSchema),
      place: row.jsonOrNull('place_json', placeInSheetSchema),
      preparation: row.jsonOrNull('preparation_json', preparationSchema),
      restedS: row.numberOrNull('rested_s'),
      plannedRestS: row.numberOrNull('planned_rest_s'),
    },
    row.where,
  );
  const step = checked(
    stepSchema,
    {
      toolName: row.text('tool_name'),
      kind,
      direction: row.text('direction'),
      plannedS: row.number('planned_s'),
      ...(kind === 'breakaway' ? { preloadNm } : {}),
    },
    row.where,
  );
  const interruption = row.textOrNull('interruption');
  return {
    id,
    row,
    sessionId: row.text('session_id'),
    startedAt: row.text('started_at'),
    isSimulated: row.flag('is_simulated'),
    step,
    conditions,
    interruption: interruption === null ? null : checked(interruptionReasonSchema, interruption, row.where),
    slotCount: row.number('slot_count'),
    onsetSlot: row.number('onset_slot'),
    sampleRateHz: row.numberOrNull('sample_rate_hz'),
    zeroAfterCounts: row.numberOrNull('zero_after_counts'),
    faults: of('trial_fault').map((fault) =>
      checked(
        faultEventSchema,
        {
          kind: fault.text('kind'),
          at: fault.text('at'),
          atS: fault.numberOrNull('at_s'),
          count: fault.number('count'),
          sentence: fault.text('sentence'),
        },
        fault.where,
      ),
    ),
    decisions: of('trial_decision').map((one) => ({ decision: one.text('decision'), at: one.text('at') })),
    evaluations: of('trial_evaluation').map((one) => ({
      where: one.where,
      at: one.text('at'),
      calibrationId: one.text('calibration_id'),
      definitionVersion: one.number('definition_version'),
      figures: one.json('figures_json', trialFiguresSchema),
    })),
    assignments: of('calibration_assignment').map((one) => ({
      calibrationId: one.text('calibration_id'),
      at: one.text('at'),
    })),
    namings: [
      { at: '', toolName: step.toolName, setup: conditions.setup },
      ...of('relabelling').map((one) => ({
        at: one.text('at'),
        toolName: one.text('tool_name'),
        setup: one.jsonOrNull('setup_json', setupAsTestedSchema),
      })),
    ],
  };
}

/** The newest of what there was at an instant; null: as of now. */
export function newestAsOf<Entry extends { readonly at: string }>(
  entries: readonly Entry[],
  asOf: string | null,
): Entry | undefined {
  return asOf === null ? entries.at(-1) : entries.findLast(({ at }) => at <= asOf);
}

export interface TrialStanding {
  readonly state: 'reviewing' | 'kept' | 'interrupted';
  readonly isVoided: boolean;
}

/** Where a trial that has ended stands, by what was decided about it. */
export function standingAsOf(
  { decisions, interruption }: Pick<StoredTrial, 'decisions' | 'interruption'>,
  asOf: string | null,
): TrialStanding {
  const made = decisions.filter(({ at }) => asOf === null || at <= asOf);
  const isKept = made.some(({ decision }) => decision === 'kept');
  const aboutVoid = made.findLast(({ decision }) => decision === 'voided' || decision === 'restored');
  return {
    state: isKept ? 'kept' : interruption === null ? 'reviewing' : 'interrupted',
    isVoided: aboutVoid?.decision === 'voided',
  };
}
