import {
  type AmplifierProfile,
  amplifierProfileSchema,
} from '../../shared-lib/amplifier/amplifier-profile.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';

/** The user's own profiles, by name. */
export function listOwnProfiles(database: ReadableDatabase): AmplifierProfile[] {
  return reading(() =>
    database
      .prepare<[], { id: string; profile_json: string }>(
        `SELECT id, profile_json FROM amplifier_profile ORDER BY json_extract(profile_json, '$.name'), id`,
      )
      .all()
      .map(({ id, profile_json }) =>
        fromJsonColumn(amplifierProfileSchema, profile_json, `settings of profile ${id}`),
      ),
  );
}

/** Stores a new one, or the new form of one. Trials keep the profile that they were made with. */
export function saveOwnProfile(database: WritableDatabase, profile: AmplifierProfile): void {
  writing(database, () => {
    database
      .prepare(
        `INSERT INTO amplifier_profile (id, profile_json) VALUES (?, ?)
         ON CONFLICT (id) DO UPDATE SET profile_json = excluded.profile_json`,
      )
      .run(profile.id, toJsonColumn(amplifierProfileSchema, profile));
  });
}

/** Errors: AppError 'profile-not-found'. */
export function deleteOwnProfile(database: WritableDatabase, id: string): void {
  writing(database, () => {
    const { changes } = database.prepare('DELETE FROM amplifier_profile WHERE id = ?').run(id);
    if (changes > 0) return;
    throw new AppError(
      'profile-not-found',
      'There is no such profile of your own. Nothing was changed. Choose one from the list in Setup.',
      { profileId: id },
    );
  });
}
