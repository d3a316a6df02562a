import type { AmplifierProfile, KeptAmplifier } from '../../../shared-lib/amplifier/amplifier-profile.ts';
import type { AmplifierStatus } from '../../../shared-lib/bench-status.ts';
import { formatRate } from '../../../shared-lib/format-quantity.ts';
import type { Transducer } from '../../../shared-lib/trial/trial-model.ts';
import { formatDateTime } from '../../ui/date-time.ts';
import type { StateShapeName } from '../../ui/StateShape.tsx';

/** Where it is, how its lines read, what hangs on it, when it was last there: in one line under its name. */
export function keptFacts(
  { settings, usb, transducerId, lastConnectedAt }: KeptAmplifier,
  profiles: readonly AmplifierProfile[],
  transducers: readonly Transducer[],
): string {
  const profile = profiles.find(({ id }) => id === settings.profileId);
  const transducer = transducers.find(({ id }) => id === transducerId);
  return [
    `${settings.path}${usb === null ? '' : ` (USB serial number ${usb.serialNumber})`}`,
    `${profile?.name ?? 'a profile that is no longer there'}, ${formatRate(settings.nominalRateHz)}`,
    transducer === undefined ? 'no transducer used with it yet' : `with ${transducer.name}`,
    `last connected ${formatDateTime(lastConnectedAt)}`,
  ].join(' · ');
}

/** Null where it is the one in use but not open. */
export function keptLinkWords(
  link: AmplifierStatus['link'],
): { readonly word: string; readonly shape: StateShapeName } | null {
  switch (link) {
    case 'connected':
      return { word: 'connected', shape: 'live' };
    case 'connecting':
      return { word: 'opening', shape: 'off' };
    case 'silent':
      return { word: 'open, but silent', shape: 'fault' };
    case 'reconnecting':
      return { word: 'lost, trying again by itself', shape: 'fault' };
    case 'failed':
      return { word: 'could not be opened', shape: 'fault' };
    case 'disconnected':
      return null;
  }
}
