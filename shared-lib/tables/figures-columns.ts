import { CHECKPOINTS_S } from '../trial/measures.ts';
import type { Measure, TrialFigures, TrialRecord, TrialSummary } from '../trial/trial-model.ts';
import type { Cell } from './write-csv.ts';

/** What of a trial stands in the table beside its figures. Any `TrialRecord` has it. */
export interface TabledRecord {
  readonly summary: Pick<
    TrialSummary,
    | 'id'
    | 'sessionId'
    | 'startedAt'
    | 'step'
    | 'state'
    | 'isVoided'
    | 'suspicion'
    | 'isSimulated'
    | 'setup'
    | 'place'
  >;
  readonly conditions: Pick<
    TrialRecord['conditions'],
    'transducer' | 'calibrationId' | 'amplifierName' | 'profile' | 'zeroCounts' | 'noiseNm' | 'restedS'
  >;
  readonly slotCount: number;
  readonly lostSlots: number;
  readonly zeroAfterCounts: number | null;
}

/** A column in the words of Table Schema: `datetime` is ISO 8601 in UTC, `boolean` is `true` or `false`. */
export interface TableColumn {
  readonly name: string;
  readonly type: 'string' | 'number' | 'integer' | 'boolean' | 'datetime';
  readonly description: string;
}

export interface FiguresColumn extends TableColumn {
  /** Null without figures. */
  readonly read: (record: TabledRecord, figures: TrialFigures | null) => Cell;
}

function ofRecord(
  name: string,
  type: TableColumn['type'],
  description: string,
  read: (record: TabledRecord) => Cell | boolean,
): FiguresColumn {
  return {
    name,
    type,
    description,
    read: (record) => {
      const value = read(record);
      return typeof value === 'boolean' ? String(value) : value;
    },
  };
}

function ofFigures(
  name: string,
  type: TableColumn['type'],
  description: string,
  read: (figures: TrialFigures) => Cell,
): FiguresColumn {
  return {
    name,
    type,
    description,
    read: (_record, figures) => (figures === null ? null : read(figures)),
  };
}

const measured = (
  name: string,
  description: string,
  read: (figures: TrialFigures) => Measure | null | undefined,
): FiguresColumn =>
  ofFigures(name, 'number', description, (figures) => {
    const measure = read(figures);
    return measure && 'value' in measure ? measure.value : null;
  });

/** What was pulled, on what, and what became of it. */
export const recordColumns: readonly FiguresColumn[] = [
  ofRecord('trial_id', 'string', 'Identity of the trial.', ({ summary }) => summary.id),
  ofRecord('session_id', 'string', 'The sitting at the bench.', ({ summary }) => summary.sessionId),
  ofRecord('started_at', 'datetime', 'Onset of the pull, UTC.', ({ summary }) => summary.startedAt),
  ofRecord('tool', 'string', 'Tool, as it is known now.', ({ summary }) => summary.step.toolName),
  ofRecord('pack', 'string', 'Battery pack.', ({ summary }) => summary.setup?.packName ?? null),
  ofRecord(
    'setting',
    'string',
    'Speed step, mode or clutch setting.',
    ({ summary }) => summary.setup?.setting ?? null,
  ),
  ofRecord(
    'socket',
    'string',
    'Socket, adapter and extension.',
    ({ summary }) => summary.setup?.socket?.name ?? null,
  ),
  ofRecord('kind', 'string', 'tighten, breakaway, stall or endurance.', ({ summary }) => summary.step.kind),
  ofRecord(
    'direction',
    'string',
    'forward or reverse; figures are positive in this direction.',
    ({ summary }) => summary.step.direction,
  ),
  ofRecord('planned_s', 'number', 'Planned time from onset, s.', ({ summary }) => summary.step.plannedS),
  ofRecord(
    'preload_nm',
    'number',
    'Breakaway: what the fastener was to be tightened to before, N·m.',
    ({ summary }) => summary.step.preloadNm ?? null,
  ),
  ofRecord(
    'run_sheet_id',
    'string',
    'The run sheet it belongs to.',
    ({ summary }) => summary.place?.runSheetId ?? null,
  ),
  ofRecord(
    'round',
    'integer',
    'Round of the run sheet; 0 is before or after all rounds.',
    ({ summary }) => summary.place?.round ?? null,
  ),
  ofRecord('repeat', 'integer', 'Which pull of the round.', ({ summary }) => summary.place?.repeat ?? null),
  ofRecord(
    'role',
    'string',
    'counted, conditioning or reference.',
    ({ summary }) => summary.place?.role ?? null,
  ),
  ofRecord('state', 'string', 'kept, reviewing or interrupted.', ({ summary }) => summary.state),
  ofRecord('is_voided', 'boolean', 'Voided trials count for nothing.', ({ summary }) => summary.isVoided),
  ofRecord(
    'suspicion',
    'string',
    'After a failed daily check: undecided, usable or excluded; empty: no such mark. Excluded trials count for nothing.',
    ({ summary: { suspicion } }) => (suspicion === null ? null : (suspicion.decision ?? 'undecided')),
  ),
  ofRecord('is_simulated', 'boolean', 'Made by the simulated bench.', ({ summary }) => summary.isSimulated),
  ofRecord('transducer', 'string', 'Name of the transducer.', ({ conditions }) => conditions.transducer.name),
  ofRecord(
    'transducer_capacity_nm',
    'number',
    'Its capacity, N·m.',
    ({ conditions }) => conditions.transducer.capacityNm,
  ),
  ofRecord(
    'sense_sign',
    'integer',
    '1, or -1 where a clockwise push reads negative through the calibration.',
    ({ conditions }) => conditions.transducer.senseSign,
  ),
  ofRecord(
    'rig_revision',
    'string',
    'Rig that holds it, as its owner counts.',
    ({ conditions }) => conditions.transducer.rigRevision,
  ),
  ofRecord('amplifier', 'string', 'Name of the amplifier.', ({ conditions }) => conditions.amplifierName),
  ofRecord(
    'zero_counts',
    'number',
    'Zero before the pull, counts.',
    ({ conditions }) => conditions.zeroCounts,
  ),
  ofRecord(
    'zero_after_counts',
    'number',
    'Zero after the pull, counts.',
    ({ zeroAfterCounts }) => zeroAfterCounts,
  ),
  ofRecord(
    'noise_nm',
    'number',
    'Standard deviation of the measuring curve at rest, N·m.',
    ({ conditions }) => conditions.noiseNm,
  ),
  ofRecord(
    'nominal_rate_hz',
    'number',
    'Nominal rate of the amplifier, Sa/s.',
    ({ conditions }) => conditions.profile.nominalRateHz,
  ),
  ofRecord(
    'rested_s',
    'number',
    'Rest since the pull before with the same setup, s.',
    ({ conditions }) => conditions.restedS,
  ),
  ofRecord('slot_count', 'integer', 'Slots of the record.', ({ slotCount }) => slotCount),
  ofRecord('lost_slots', 'integer', 'Of them lost.', ({ lostSlots }) => lostSlots),
];

/** What follows from the counts. Times count from onset, torque is positive in the direction of the step. */
export const figureColumns: readonly FiguresColumn[] = [
  ofFigures(
    'calibration_id',
    'string',
    'The calibration the figures rest on.',
    ({ calibrationId }) => calibrationId,
  ),
  ofFigures(
    'definition_version',
    'integer',
    'Version of the definitions. 3 and 4 measure as 2 does, and judge the quality otherwise.',
    ({ definitionVersion }) => definitionVersion,
  ),
  ofFigures('sample_rate_hz', 'number', 'Fitted sample rate, Sa/s.', ({ sampleRateHz }) => sampleRateHz),
  ofFigures('window_s', 'number', 'Window of the measuring curve, s.', ({ windowS }) => windowS),
  ofFigures('onset_level_nm', 'number', 'Level of onset, N·m.', ({ onsetLevelNm }) => onsetLevelNm),
  ofFigures('onset_s', 'number', 'Onset, from the first slot of the record, s.', ({ onsetS }) => onsetS),
  measured(
    'sustained_torque_nm',
    'Highest level held for 250 ms, N·m.',
    ({ sustainedTorqueNm }) => sustainedTorqueNm,
  ),
  measured('final_torque_nm', 'Mean of the last half second, N·m.', ({ finalTorqueNm }) => finalTorqueNm),
  ...CHECKPOINTS_S.map((checkpointS) =>
    measured(
      `torque_at_${checkpointS}_s_nm`,
      `Measuring curve ${checkpointS} s after onset, N·m.`,
      ({ torqueAt }) => torqueAt.find(({ atS }) => atS === checkpointS)?.torqueNm,
    ),
  ),
  measured(
    'time_to_90_percent_s',
    'Time to 90 % of the sustained torque, s.',
    ({ timeTo90PercentS }) => timeTo90PercentS,
  ),
  measured(
    'highest_reading_nm',
    'Largest single reading at this sample rate, N·m; not comparable between rates, filters or rigs.',
    ({ highestReadingNm }) => highestReadingNm,
  ),
  measured(
    'still_climbing_percent_per_s',
    'Slope of the last 2 s, % of the sustained torque per s.',
    ({ stillClimbingPercentPerS }) => stillClimbingPercentPerS,
  ),
  ofFigures(
    'levelled_off_since_s',
    'number',
    'Since when the slope is within 1 %/s, s.',
    ({ levelledOffSinceS }) => levelledOffSinceS,
  ),
  measured('impulse_nms', 'Integral of the torque, N·m·s.', ({ impulseNms }) => impulseNms),
  measured('rise_nm_per_s', 'Slope of the first half second, N·m/s.', ({ riseNmPerS }) => riseNmPerS),
  ofFigures(
    'rise_model_torque_nm',
    'number',
    'Torque that T (1 - exp(-t / tau)) tends to, N·m.',
    ({ riseModel }) => ('torqueNm' in riseModel ? riseModel.torqueNm : null),
  ),
  ofFigures('rise_model_time_constant_s', 'number', 'Its tau, s.', ({ riseModel }) =>
    'torqueNm' in riseModel ? riseModel.timeConstantS : null,
  ),
  measured('blow_rate_hz', 'Blows per second, Hz.', ({ blowRateHz }) => blowRateHz),
  measured('stall_torque_nm', 'Kind stall: its torque, N·m.', ({ stallTorqueNm }) => stallTorqueNm),
  ofFigures(
    'breakaway_preload_nm',
    'number',
    'Kind breakaway: the torque that stood before, N·m.',
    ({ breakaway }) => (breakaway && 'preloadNm' in breakaway ? breakaway.preloadNm : null),
  ),
  ofFigures(
    'breakaway_released_at_s',
    'number',
    'When it was gone, s; empty: it was not released.',
    ({ breakaway }) => (breakaway && 'preloadNm' in breakaway ? breakaway.releasedAtS : null),
  ),
  ofFigures(
    'endurance_first_nm',
    'number',
    'Kind endurance: sustained torque of the first tenth, N·m.',
    ({ endurance }) => (endurance && 'firstNm' in endurance ? endurance.firstNm : null),
  ),
  ofFigures('endurance_last_nm', 'number', 'Of the last tenth, N·m.', ({ endurance }) =>
    endurance && 'firstNm' in endurance ? endurance.lastNm : null,
  ),
  ofFigures(
    'endurance_fade_percent_per_min',
    'number',
    'Fade, % of the first per minute.',
    ({ endurance }) => (endurance && 'firstNm' in endurance ? endurance.fadePercentPerMin : null),
  ),
  ofFigures(
    'trigger_s',
    'number',
    'How long the tool pulled within the planned time, s.',
    ({ triggerS }) => triggerS,
  ),
];
