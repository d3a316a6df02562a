import type { AmplifierProfile } from '../amplifier/amplifier-profile.ts';
import { AppError } from '../app-error.ts';
import type { Misbehaviour } from './simulated-bench.ts';

/**
 * Errors: AppError 'profile-invalid' for a misbehaviour that lines of this profile cannot show; 'input-out-of-range' for
 * one that makes no sense.
 */
export function requirePossible(what: Misbehaviour, profile: AmplifierProfile): void {
  if (what.kind === 'flag' && !(Number.isInteger(what.bit) && what.bit >= 0 && what.bit <= 31)) {
    throw new AppError('input-out-of-range', `Status flags have bits 0 to 31; ${what.bit} is none of them.`);
  }
  if (what.kind === 'backwards' && !(Number.isInteger(what.by) && what.by >= 1)) {
    throw new AppError(
      'input-out-of-range',
      `A sequence steps back by whole numbers from 1; ${what.by} is none.`,
    );
  }
  const reason = whyImpossible(what, profile);
  if (reason === null) return;
  throw new AppError(
    'profile-invalid',
    `Lines of the profile "${profile.name}" ${reason}. Choose a profile whose lines can show it.`,
  );
}

function whyImpossible(what: Misbehaviour, profile: AmplifierProfile): string | null {
  const { checksum, sequence, deviceTimeUs, statusFlags, countsForm, converterBits } = profile;
  switch (what.kind) {
    case 'badChecksum':
      return checksum === 'none' ? 'carry no checksum, so none can be wrong' : null;
    case 'backwards':
      return sequence ? null : 'carry no sequence number, so none can step back';
    case 'clockJump':
      return deviceTimeUs ? null : 'carry no device time, so it cannot jump';
    case 'reset':
      return sequence || deviceTimeUs ? null : 'carry no counter that could begin again';
    case 'flag':
      return statusFlags ? null : 'carry no status flags, so none can be set';
    case 'beyondRails':
      return countsForm.numeral === 'hex' && countsForm.bits <= converterBits
        ? 'have no room for counts beyond the rails of the converter'
        : null;
    default:
      return null;
  }
}
