import { defaultBackupRule } from '../../shared-lib/backup/backup-requests.ts';
import { type Settings, settingsSchema } from '../../shared-lib/api-contract.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn } from './json-column.ts';

/** What a tool is called as long as nobody has named one. */
export const UNNAMED_TOOL = 'Tool 1';

const defaults: Settings = {
  torqueUnit: 'Nm',
  theme: 'system',
  operator: '',
  soundVolume: 0.8,
  screenPxPerMm: null,
  levelsNm: [100, 200, 400],
  step: { toolName: UNNAMED_TOOL, kind: 'tighten', direction: 'forward', plannedS: 5 },
  amplifier: null,
  activeTransducerId: null,
  connectAtStart: 'none',
  runSheetId: null,
  qualityGate: 'goodAndLook',
  currency: 'EUR',
  handlingScale: { one: '', five: '', ten: '' },
  ratesHandlingBlind: false,
  backup: defaultBackupRule,
};

/** What was never saved has its default. */
export function loadSettings(database: ReadableDatabase): Settings {
  return reading(() => {
    const stored = database
      .prepare<[], string>(
        // The overlay keeps its own, and the token among them is not for windows.
        "SELECT json_group_object(key, json(value_json)) FROM setting WHERE key NOT IN ('overlay', 'overlayToken')",
      )
      .pluck()
      .get();
    return fromJsonColumn(withDefaults, stored ?? '{}', 'settings');
  });
}

/** Whether it was ever saved, be it with its default. */
export function isSettingSaved(database: ReadableDatabase, key: keyof Settings): boolean {
  return reading(
    () => database.prepare<[string]>('SELECT 1 FROM setting WHERE key = ?').get(key) !== undefined,
  );
}

const withDefaults = {
  parse: (stored: unknown) => settingsSchema.parse({ ...defaults, ...(stored as Partial<Settings>) }),
};

/** Saves what is given, leaves the rest, and returns all of it. */
export function saveSettings(
  database: WritableDatabase,
  changes: { readonly [Key in keyof Settings]?: Settings[Key] | undefined },
): Settings {
  return writing(database, () => {
    const put = database.prepare<[string, string]>(
      'INSERT INTO setting (key, value_json) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value_json = excluded.value_json',
    );
    for (const [key, value] of Object.entries(settingsSchema.partial().parse(changes))) {
      if (value !== undefined) put.run(key, JSON.stringify(value));
    }
    return loadSettings(database);
  });
}
