import { z } from 'zod';
import { type OverlaySettings, overlaySettingsSchema } from '../../shared-lib/overlay/overlay-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from '../storage/database.ts';
import { fromJsonColumn } from '../storage/json-column.ts';

/** Rows of `setting` that are no settings of the program as a window sees them: the token is nobody's to read. */
const SETTINGS_KEY = 'overlay';
const TOKEN_KEY = 'overlayToken';

const defaults: OverlaySettings = {
  isOn: false,
  port: 47180,
  layout: 'curveAndFigures',
  theme: 'onDark',
  delayMs: 0,
};

export function loadOverlaySettings(database: ReadableDatabase): OverlaySettings {
  const stored = read(database, SETTINGS_KEY);
  return stored === undefined
    ? defaults
    : fromJsonColumn(overlaySettingsSchema, stored, 'settings of the overlay');
}

export function saveOverlaySettings(database: WritableDatabase, settings: OverlaySettings): void {
  save(database, SETTINGS_KEY, settings);
}

/** Null: none was ever made. */
export function loadOverlayToken(database: ReadableDatabase): string | null {
  const stored = read(database, TOKEN_KEY);
  return stored === undefined ? null : fromJsonColumn(z.string().min(32), stored, 'token of the overlay');
}

export function saveOverlayToken(database: WritableDatabase, token: string): void {
  save(database, TOKEN_KEY, token);
}

function read(database: ReadableDatabase, key: string): string | undefined {
  return reading(() =>
    database.prepare<[string], string>('SELECT value_json FROM setting WHERE key = ?').pluck().get(key),
  );
}

function save(database: WritableDatabase, key: string, value: unknown): void {
  writing(database, () => {
    database
      .prepare(
        'INSERT INTO setting (key, value_json) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value_json = excluded.value_json',
      )
      .run(key, JSON.stringify(value));
  });
}
