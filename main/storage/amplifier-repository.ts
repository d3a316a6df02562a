import { randomUUID } from 'node:crypto';
import {
  amplifierSettingsSchema,
  type AmplifierSettings,
  type KeptAmplifier,
  keptAmplifierSchema,
  type UsbIdentity,
} from '../../shared-lib/amplifier/amplifier-profile.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';

interface AmplifierRow {
  id: string;
  name: string;
  settings_json: string;
  usb_serial_number: string | null;
  usb_vendor_id: string | null;
  usb_product_id: string | null;
  transducer_id: string | null;
  last_connected_at: string;
}

const selectAmplifiers = `
SELECT id, name, settings_json, usb_serial_number, usb_vendor_id, usb_product_id, transducer_id, last_connected_at
FROM amplifier`;

/** Those that were not forgotten, the one connected last first. */
export function listAmplifiers(database: ReadableDatabase): KeptAmplifier[] {
  return reading(() =>
    database
      .prepare<[], AmplifierRow>(
        `${selectAmplifiers} WHERE is_forgotten = 0 ORDER BY last_connected_at DESC, name, id`,
      )
      .all()
      .map(toAmplifier),
  );
}

/** Errors: AppError 'amplifier-not-found', also for one that was forgotten. */
export function getAmplifier(database: ReadableDatabase, id: string): KeptAmplifier {
  const found = listAmplifiers(database).find((amplifier) => amplifier.id === id);
  if (found) return found;
  throw new AppError(
    'amplifier-not-found',
    'There is no such amplifier on the list. Nothing was changed. Choose one from the list in Setup, or connect it anew.',
    { amplifierId: id },
  );
}

/** What it is called, also where it was forgotten: calibrations go on naming it. */
export function amplifierName(database: ReadableDatabase, id: string): string {
  return reading(() => {
    const name = database
      .prepare<[string], string>('SELECT name FROM amplifier WHERE id = ?')
      .pluck()
      .get(id);
    if (name === undefined) throw new Error(`There is no amplifier ${id}`);
    return name;
  });
}

/**
 * Keeps an amplifier that was just connected, or what has changed on one that is kept: its port, what was set for it.
 *
 * It is known again by its USB identity on whatever port, then also where it had been forgotten; without one by the path,
 * as long as it is on the list. `transducerId` becomes its transducer where it has none yet.
 */
export function keepAmplifier(
  database: WritableDatabase,
  connected: {
    readonly settings: AmplifierSettings;
    readonly usb: UsbIdentity | null;
    readonly transducerId: string;
    readonly at: string;
  },
): KeptAmplifier {
  const { usb, transducerId, at } = connected;
  const settings = toJsonColumn(amplifierSettingsSchema, connected.settings);
  return writing(database, () => {
    const knownId = findId(database, connected.settings.path, usb);
    if (knownId !== undefined) {
      database
        .prepare(
          `UPDATE amplifier SET settings_json = ?, last_connected_at = ?, is_forgotten = 0,
             transducer_id = coalesce(transducer_id, ?) WHERE id = ?`,
        )
        .run(settings, at, transducerId, knownId);
      return getAmplifier(database, knownId);
    }
    const id = randomUUID();
    database
      .prepare(
        `INSERT INTO amplifier (id, name, settings_json, usb_serial_number, usb_vendor_id, usb_product_id,
           transducer_id, last_connected_at)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(
        id,
        freeName(database),
        settings,
        usb?.serialNumber ?? null,
        usb?.vendorId ?? null,
        usb?.productId ?? null,
        transducerId,
        at,
      );
    return getAmplifier(database, id);
  });
}

function findId(database: ReadableDatabase, path: string, usb: UsbIdentity | null): string | undefined {
  if (usb === null) {
    return database
      .prepare<[string], string>(
        'SELECT id FROM amplifier WHERE usb_serial_number IS NULL AND path = ? AND is_forgotten = 0',
      )
      .pluck()
      .get(path);
  }
  // Vendor and product are hexadecimal, in letters of either case.
  return database
    .prepare<[UsbIdentity], string>(
      `SELECT id FROM amplifier WHERE usb_serial_number = @serialNumber
         AND lower(usb_vendor_id) IS lower(@vendorId) AND lower(usb_product_id) IS lower(@productId)`,
    )
    .pluck()
    .get(usb);
}

/** The first that no amplifier has or had: the name of a forgotten one still stands with its trials. */
function freeName(database: ReadableDatabase): string {
  const taken = new Set(database.prepare<[], string>('SELECT name FROM amplifier').pluck().all());
  let number = 1;
  while (taken.has(`Amplifier ${number}`)) number += 1;
  return `Amplifier ${number}`;
}

export function renameAmplifier(database: WritableDatabase, id: string, name: string): KeptAmplifier {
  return writing(database, () => {
    getAmplifier(database, id);
    database.prepare('UPDATE amplifier SET name = ? WHERE id = ?').run(name, id);
    return getAmplifier(database, id);
  });
}

/** What is set for it from its next connection on. */
export function setAmplifierSettings(
  database: WritableDatabase,
  id: string,
  settings: AmplifierSettings,
): void {
  writing(database, () => {
    getAmplifier(database, id);
    database
      .prepare('UPDATE amplifier SET settings_json = ? WHERE id = ?')
      .run(toJsonColumn(amplifierSettingsSchema, settings), id);
  });
}

/** From now on this transducer comes with the amplifier. */
export function setAmplifierTransducer(database: WritableDatabase, id: string, transducerId: string): void {
  writing(database, () => {
    getAmplifier(database, id);
    database.prepare('UPDATE amplifier SET transducer_id = ? WHERE id = ?').run(transducerId, id);
  });
}

/** Takes it off the list. */
export function forgetAmplifier(database: WritableDatabase, id: string): void {
  writing(database, () => {
    getAmplifier(database, id);
    database.prepare('UPDATE amplifier SET is_forgotten = 1 WHERE id = ?').run(id);
  });
}

function toAmplifier(row: AmplifierRow): KeptAmplifier {
  return keptAmplifierSchema.parse({
    id: row.id,
    name: row.name,
    settings: fromJsonColumn(amplifierSettingsSchema, row.settings_json, `settings of amplifier ${row.id}`),
    usb:
      row.usb_serial_number === null
        ? null
        : {
            serialNumber: row.usb_serial_number,
            vendorId: row.usb_vendor_id,
            productId: row.usb_product_id,
          },
    transducerId: row.transducer_id,
    lastConnectedAt: row.last_connected_at,
  });
}
