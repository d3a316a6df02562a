import { isDeepStrictEqual } from 'node:util';
import { type AmplifierProfile, readyMadeProfiles } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { checkProfile } from '../../shared-lib/amplifier/check-profile.ts';
import type { RequestResult } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { listAmplifiers, setAmplifierSettings } from '../storage/amplifier-repository.ts';
import { type ReadableDatabase, type WritableDatabase, writing } from '../storage/database.ts';
import { deleteOwnProfile, listOwnProfiles, saveOwnProfile } from '../storage/profile-repository.ts';
import { withEditedProfile } from './profile-from-settings.ts';

/** Ready-made ones first, then the user's own. */
export function listProfiles(database: ReadableDatabase): RequestResult<'listProfiles'> {
  const own = listOwnProfiles(database);
  return { profiles: [...readyMadeProfiles, ...own], ownProfileIds: own.map(({ id }) => id) };
}

/**
 * Keeps a new profile, or the new form of one. It holds from the next connection on, also for the amplifiers that are kept with
 * it: what was set for one otherwise than the profile had it stays.
 *
 * Errors: AppError 'profile-invalid' with every reason.
 */
export function saveProfile(database: WritableDatabase, profile: AmplifierProfile): AmplifierProfile {
  if (isReadyMade(profile.id)) {
    throw new AppError(
      'profile-invalid',
      'A ready-made profile stays as it is. Nothing was changed. Save it as a profile of your own.',
      { profileId: profile.id },
    );
  }
  const reasons = checkProfile(profile).flatMap(({ severity, sentence }) =>
    severity === 'error' ? [sentence] : [],
  );
  if (reasons.length > 0) {
    throw new AppError(
      'profile-invalid',
      `The profile was not saved, since it cannot read its amplifier. ${reasons.join(' ')}`,
      { profileId: profile.id },
    );
  }
  writing(database, () => {
    const before = listOwnProfiles(database).find(({ id }) => id === profile.id);
    saveOwnProfile(database, profile);
    if (before === undefined) return;
    for (const { id, settings } of listAmplifiers(database)) {
      const edited = withEditedProfile(settings, before, profile);
      if (!isDeepStrictEqual(edited, settings)) setAmplifierSettings(database, id, edited);
    }
  });
  return profile;
}

/** Errors: AppError 'profile-not-found'; 'invalid-state' where it is ready-made, or a kept amplifier is read by it. */
export function deleteProfile(database: WritableDatabase, profileId: string): void {
  if (isReadyMade(profileId)) {
    throw new AppError('invalid-state', 'A ready-made profile cannot be deleted. Nothing was changed.', {
      profileId,
    });
  }
  writing(database, () => {
    const users = listAmplifiers(database).filter(({ settings }) => settings.profileId === profileId);
    if (users.length > 0) {
      const names = users.map(({ name }) => `"${name}"`).join(', ');
      throw new AppError(
        'invalid-state',
        `The profile is in use: ${names} ${users.length === 1 ? 'is' : 'are'} read by it. Nothing was changed. Connect with another profile first, or take the amplifier off the list.`,
        { profileId },
      );
    }
    deleteOwnProfile(database, profileId);
  });
}

function isReadyMade(profileId: string): boolean {
  return readyMadeProfiles.some(({ id }) => id === profileId);
}
