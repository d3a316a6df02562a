import type { AmplifierProfile, AmplifierSettings } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { AppError } from '../../shared-lib/app-error.ts';

/**
 * The chosen profile with what the user set for this amplifier. `profiles`: ready-made and own ones.
 *
 * Errors: AppError 'profile-not-found'.
 */
export function profileFromSettings(
  chosen: AmplifierSettings,
  profiles: readonly AmplifierProfile[],
): AmplifierProfile {
  const profile = profiles.find((candidate) => candidate.id === chosen.profileId);
  if (!profile) {
    throw new AppError(
      'profile-not-found',
      `There is no profile "${chosen.profileId}". Choose one from the list in Setup.`,
    );
  }
  return {
    ...profile,
    baudRate: chosen.baudRate,
    nominalRateHz: chosen.nominalRateHz,
    converterBits: chosen.converterBits,
  };
}

/** What was set for an amplifier by a profile that has been edited: where nobody set anything else, it goes along. */
export function withEditedProfile(
  settings: AmplifierSettings,
  before: AmplifierProfile,
  after: AmplifierProfile,
): AmplifierSettings {
  if (settings.profileId !== after.id) return settings;
  const edited = <Field extends 'baudRate' | 'nominalRateHz' | 'converterBits'>(field: Field) =>
    settings[field] === before[field] ? after[field] : settings[field];
  return {
    ...settings,
    baudRate: edited('baudRate'),
    nominalRateHz: edited('nominalRateHz'),
    converterBits: edited('converterBits'),
  };
}
