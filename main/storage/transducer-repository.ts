import { randomUUID } from 'node:crypto';
import type { RequestParams } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { type Transducer, transducerSchema } from '../../shared-lib/trial/trial-model.ts';
import { foreignKeys } from './bench-repository.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';

interface TransducerRow {
  id: string;
  name: string;
  is_simulated: number;
  capacity_nm: number | null;
  rig_limit_nm: number | null;
  rig_unloading: string;
  rig_revision: string;
  sense_sign: number;
  sense_confirmed_at: string | null;
  active_calibration_id: string | null;
}

const columns =
  'id, name, is_simulated, capacity_nm, rig_limit_nm, rig_unloading, rig_revision, sense_sign, sense_confirmed_at, active_calibration_id';

export function listTransducers(database: ReadableDatabase): Transducer[] {
  return reading(() =>
    database
      .prepare<[], TransducerRow>(`SELECT ${columns} FROM transducer ORDER BY is_simulated, name, id`)
      .all()
      .map(toTransducer),
  );
}

/** Without those that came with data of another bench: they hang there, and nothing here is measured through them. */
export function listOwnTransducers(database: ReadableDatabase): Transducer[] {
  const foreign = foreignKeys(database, 'transducer');
  return listTransducers(database).filter(({ id }) => !foreign.has(id));
}

export function getTransducer(database: ReadableDatabase, id: string): Transducer {
  return reading(() => {
    const row = database
      .prepare<[string], TransducerRow>(`SELECT ${columns} FROM transducer WHERE id = ?`)
      .get(id);
    if (row) return toTransducer(row);
    throw new AppError(
      'transducer-not-found',
      'There is no such transducer. Nothing was changed. Choose one from the list in Setup.',
      { transducerId: id },
    );
  });
}

/** The transducer of the simulated bench, made from `defaults` where there is none yet. */
export function ensureSimulatedTransducer(
  database: WritableDatabase,
  defaults: Omit<Transducer, 'isSimulated' | 'activeCalibrationId'>,
): Transducer {
  return ensure(database, { ...defaults, isSimulated: true, activeCalibrationId: null }, (present) =>
    present.find(({ id }) => id === defaults.id),
  );
}

const REPLAY_TRANSDUCER_ID = 'replayed-capture';

/**
 * What hangs on a replayed capture. Nothing real is measured through it, so it counts as simulated, and it has neither
 * capacity nor calibration until somebody gives it one.
 */
export function ensureReplayTransducer(database: WritableDatabase): Transducer {
  const replayed = {
    ...unknownTransducer,
    id: REPLAY_TRANSDUCER_ID,
    name: 'Replayed capture',
    isSimulated: true,
  };
  return ensure(database, replayed, (present) => present.find(({ id }) => id === REPLAY_TRANSDUCER_ID));
}

/**
 * The transducer on the bench: the wanted one, else the first real one; where there is none yet, one whose capacity the
 * user still has to enter.
 */
export function ensureRealTransducer(database: WritableDatabase, wantedId: string | null = null): Transducer {
  const first = { ...unknownTransducer, id: randomUUID(), name: 'Transducer 1' };
  return ensure(database, first, (present) => {
    const real = present.filter(({ isSimulated }) => !isSimulated);
    return real.find(({ id }) => id === wantedId) ?? real[0];
  });
}

/** One more, of which nothing but the name is known yet. */
export function addTransducer(database: WritableDatabase, name: string): Transducer {
  const added = { ...unknownTransducer, id: randomUUID(), name };
  return ensure(database, added, () => undefined);
}

const unknownTransducer: Omit<Transducer, 'id' | 'name'> = {
  isSimulated: false,
  capacityNm: null,
  rigLimitNm: null,
  rigUnloading: 'holds',
  rigRevision: '',
  senseSign: 1,
  senseConfirmedAt: null,
  activeCalibrationId: null,
};

function ensure(
  database: WritableDatabase,
  transducer: Transducer,
  choose: (present: readonly Transducer[]) => Transducer | undefined,
): Transducer {
  return writing(database, () => {
    const present = choose(listOwnTransducers(database));
    if (present) return present;
    const { id, name, isSimulated, capacityNm, rigLimitNm, rigUnloading, rigRevision } = transducer;
    const { senseSign, senseConfirmedAt } = transducer;
    database
      .prepare(
        `INSERT INTO transducer (id, name, is_simulated, capacity_nm, rig_limit_nm, rig_unloading, rig_revision, sense_sign,
           sense_confirmed_at)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(
        id,
        name,
        Number(isSimulated),
        capacityNm,
        rigLimitNm,
        rigUnloading,
        rigRevision,
        senseSign,
        senseConfirmedAt,
      );
    return getTransducer(database, id);
  });
}

/** Changes what is given and leaves the rest. */
export function updateTransducer(
  database: WritableDatabase,
  changes: RequestParams<'updateTransducer'>,
): Transducer {
  return writing(database, () => {
    const before = getTransducer(database, changes.id);
    const {
      name = before.name,
      capacityNm = before.capacityNm,
      rigLimitNm = before.rigLimitNm,
      rigUnloading = before.rigUnloading,
      rigRevision = before.rigRevision,
    } = changes;
    database
      .prepare(
        'UPDATE transducer SET name = ?, capacity_nm = ?, rig_limit_nm = ?, rig_unloading = ?, rig_revision = ? WHERE id = ?',
      )
      .run(name, capacityNm, rigLimitNm, rigUnloading, rigRevision, changes.id);
    return getTransducer(database, changes.id);
  });
}

/** `at`: when the guided push was made. */
export function setSense(
  database: WritableDatabase,
  id: string,
  senseSign: Transducer['senseSign'],
  at: string,
): Transducer {
  return writing(database, () => {
    database
      .prepare('UPDATE transducer SET sense_sign = ?, sense_confirmed_at = ? WHERE id = ?')
      .run(senseSign, at, id);
    return getTransducer(database, id);
  });
}

/** Until the next guided push no trial starts. */
export function forgetSense(database: WritableDatabase, id: string): void {
  writing(database, () => {
    database.prepare('UPDATE transducer SET sense_confirmed_at = NULL WHERE id = ?').run(id);
  });
}

/** From now on readings of this transducer go through this calibration, which must be its own and not superseded. */
export function setActiveCalibration(
  database: WritableDatabase,
  transducerId: string,
  calibrationId: string,
): Transducer {
  return writing(database, () => {
    const isSuperseded = database
      .prepare<[string, string], number>(
        'SELECT superseded_at IS NOT NULL FROM calibration WHERE id = ? AND transducer_id = ?',
      )
      .pluck()
      .get(calibrationId, transducerId);
    if (isSuperseded === undefined) {
      throw new AppError(
        'calibration-not-found',
        'This transducer has no such calibration. Nothing was changed. Choose one of its own, or make a new one.',
        { calibrationId, transducerId },
      );
    }
    if (isSuperseded === 1) {
      throw new AppError(
        'invalid-state',
        'This calibration was superseded and cannot be used again. Nothing was changed. Save a new version with the same values if they hold after all.',
        { calibrationId },
      );
    }
    database
      .prepare('UPDATE transducer SET active_calibration_id = ? WHERE id = ?')
      .run(calibrationId, transducerId);
    return getTransducer(database, transducerId);
  });
}

function toTransducer(row: TransducerRow): Transducer {
  return transducerSchema.parse({
    id: row.id,
    name: row.name,
    isSimulated: row.is_simulated === 1,
    capacityNm: row.capacity_nm,
    rigLimitNm: row.rig_limit_nm,
    rigUnloading: row.rig_unloading,
    rigRevision: row.rig_revision,
    senseSign: row.sense_sign,
    senseConfirmedAt: row.sense_confirmed_at,
    activeCalibrationId: row.active_calibration_id,
  });
}
