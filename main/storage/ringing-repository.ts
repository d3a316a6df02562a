import { type Ringing, ringingSchema } from '../../shared-lib/calibration/daily-check-model.ts';
import { fromLittleEndian, toLittleEndian } from './block-codec.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';

/** What the record of a tap came to, by the rules at its time. */
export type RingingAnalysis = Pick<
  Ringing,
  'frequencyHz' | 'dampingRatio' | 'decayS' | 'sentences' | 'refusedMeasures'
>;
export const analysisSchema = ringingSchema.pick({
  frequencyHz: true,
  dampingRatio: true,
  decayS: true,
  sentences: true,
  refusedMeasures: true,
});

/** A tap as it is stored: counts, and what makes torque of them. */
export interface StoredRinging {
  readonly id: number;
  readonly transducerId: string;
  readonly calibrationId: string;
  readonly at: string;
  readonly operator: string;
  readonly sampleRateHz: number;
  readonly zeroCounts: number;
  readonly senseSign: 1 | -1;
  readonly tapSlot: number;
  readonly counts: Int32Array;
  readonly analysis: RingingAnalysis;
}

interface RingingRow {
  id: number;
  transducer_id: string;
  calibration_id: string;
  at: string;
  operator: string;
  sample_rate_hz: number;
  zero_counts: number;
  sense_sign: 1 | -1;
  tap_slot: number;
  analysis_json: string;
  counts: Uint8Array;
}

export function insertRinging(database: WritableDatabase, ringing: Omit<StoredRinging, 'id'>): StoredRinging {
  return writing(database, () => {
    const { lastInsertRowid } = database
      .prepare(
        `INSERT INTO rig_ringing (transducer_id, calibration_id, at, operator, sample_rate_hz, zero_counts, sense_sign,
           tap_slot, analysis_json, counts)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(
        ringing.transducerId,
        ringing.calibrationId,
        ringing.at,
        ringing.operator,
        ringing.sampleRateHz,
        ringing.zeroCounts,
        ringing.senseSign,
        ringing.tapSlot,
        toJsonColumn(analysisSchema, ringing.analysis),
        toLittleEndian(ringing.counts),
      );
    return { ...ringing, id: Number(lastInsertRowid) };
  });
}

/** The newest one of a transducer; null where it was never tapped. */
export function newestRinging(database: ReadableDatabase, transducerId: string): StoredRinging | null {
  return reading(() => {
    const row = database
      .prepare<[string], RingingRow>(
        `SELECT id, transducer_id, calibration_id, at, operator, sample_rate_hz, zero_counts, sense_sign, tap_slot,
           analysis_json, counts
         FROM rig_ringing WHERE transducer_id = ? ORDER BY id DESC LIMIT 1`,
      )
      .get(transducerId);
    return row === undefined
      ? null
      : {
          id: row.id,
          transducerId: row.transducer_id,
          calibrationId: row.calibration_id,
          at: row.at,
          operator: row.operator,
          sampleRateHz: row.sample_rate_hz,
          zeroCounts: row.zero_counts,
          senseSign: row.sense_sign,
          tapSlot: row.tap_slot,
          counts: fromLittleEndian(row.counts, row.counts.length / 4),
          analysis: fromJsonColumn(
            analysisSchema,
            row.analysis_json,
            `record ${row.id} of how the rig rings`,
          ),
        };
  });
}
