import type { UsbIdentity } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { SampleBlock } from '../../shared-lib/signal/sample-block.ts';
import type { LiveFault } from './live-fault.ts';

/** Why no more samples come: the connection ended, or the process that reads it. */
export type LossReason = 'disconnect' | 'readerLost';

export interface AmplifierListeners {
  onBlock(block: SampleBlock): void;
  onFault(fault: LiveFault): void;
  onChange(): void;
  /** Called before `onChange`, also where the connection was ended on request. */
  onLost(reason: LossReason): void;
  /** The port that was opened, and the device that it said it is; null where it does not say. */
  onIdentified(path: string, usb: UsbIdentity | null): void;
  /** Raw bytes while listening; `arrivalUs`: monotonic time at which the last of them came. */
  onHeard(bytes: Uint8Array, arrivalUs: number): void;
  /** Nothing is heard any more. `message`: what the port said; null where it was ended on request. */
  onListeningEnded(message: string | null): void;
}
