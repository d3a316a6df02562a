import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { PortSource } from './reader-protocol.ts';

/** What is connected, or is to be. */
export interface AmplifierTarget {
  readonly source: PortSource;
  readonly profile: AmplifierProfile;
  /** The kept amplifier that this is; null where it is none. */
  readonly amplifier: { readonly id: string; readonly name: string } | null;
}
