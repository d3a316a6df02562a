import type { RequestParams, Settings } from '../shared-lib/api-contract.ts';
import type { WritableDatabase } from './storage/database.ts';
import { isSettingSaved, loadSettings, saveSettings } from './storage/settings-repository.ts';

export interface SettingsService {
  current(): Settings;
  update(changes: RequestParams<'updateSettings'>): Settings;
  /** Whether it was ever set, be it to its default. */
  wasSaved(key: keyof Settings): boolean;
}

/** The settings in memory, and every change on disk before it counts. */
export function createSettingsService(
  database: WritableDatabase,
  onChange: (settings: Settings) => void,
): SettingsService {
  let settings = loadSettings(database);
  return {
    current: () => settings,
    update(changes) {
      settings = saveSettings(database, changes);
      onChange(settings);
      return settings;
    },
    wasSaved: (key) => isSettingSaved(database, key),
  };
}
