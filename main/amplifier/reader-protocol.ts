import type { AmplifierProfile, UsbIdentity } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { CaptureHeader } from '../../shared-lib/amplifier/capture-format.ts';
import type { SerialPortInfo } from '../../shared-lib/api-contract.ts';
import type { StreamFault } from '../../shared-lib/amplifier/amplifier-stream-decoder.ts';
import type { ErrorCode, ErrorDetails } from '../../shared-lib/app-error.ts';
import type { SampleBlock } from '../../shared-lib/signal/sample-block.ts';
import type { SimulatedBenchOptions, SimulatedPull } from '../../shared-lib/simulation/simulated-bench.ts';

/** What main and the reader process say to each other; structured clone carries it. */
export type PortSource =
  /** `usb`: what is known of the device from before; it is then found by that on whatever port it is now. */
  | { readonly kind: 'serial'; readonly path: string; readonly usb: UsbIdentity | null }
  | { readonly kind: 'simulated'; readonly options: SimulatedBenchOptions }
  | { readonly kind: 'replayed'; readonly filePath: string };

export type ReaderCommand =
  | { readonly type: 'listPorts'; readonly requestId: number }
  | {
      readonly type: 'open';
      readonly openId: number;
      readonly source: PortSource;
      readonly profile: AmplifierProfile;
    }
  /** Opens a port of which nothing is known: its bytes are reported as they come. */
  | { readonly type: 'listen'; readonly openId: number; readonly path: string; readonly baudRate: number }
  | { readonly type: 'close' }
  | { readonly type: 'sendText'; readonly text: string }
  /** What comes from now on is not joined to what came before. */
  | { readonly type: 'breakSegment' }
  | { readonly type: 'startCapture'; readonly filePath: string; readonly header: CaptureHeader }
  | { readonly type: 'stopCapture' }
  | { readonly type: 'takeRecentBytes'; readonly requestId: number }
  /** Main has taken everything up to the report that said so many `handedOverBytes`. */
  | { readonly type: 'acknowledge'; readonly takenBytes: number }
  /** Simulated bench only: the simulated operator pulls the trigger. */
  | { readonly type: 'pull'; readonly pull: SimulatedPull }
  | { readonly type: 'push'; readonly torqueNm: number; readonly durationS: number }
  /** Weights on the arm until others are hung. */
  | { readonly type: 'hang'; readonly torqueNm: number };

export type ReaderReport =
  | { readonly type: 'ports'; readonly requestId: number; readonly ports: readonly SerialPortInfo[] }
  | { readonly type: 'portsFailed'; readonly requestId: number; readonly message: string }
  /** `path` and `usb`: the port that was opened and the device on it; null where there is none, or it does not say. */
  | {
      readonly type: 'opened';
      readonly openId: number;
      readonly path: string | null;
      readonly usb: UsbIdentity | null;
    }
  | {
      readonly type: 'openFailed';
      readonly openId: number;
      readonly code: ErrorCode;
      readonly message: string;
      readonly details: ErrorDetails;
    }
  /** `message` is null where it was closed on request. */
  | { readonly type: 'closed'; readonly openId: number; readonly message: string | null }
  | {
      readonly type: 'data';
      readonly openId: number;
      readonly blocks: readonly SampleBlock[];
      readonly faults: readonly StreamFault[];
      readonly standingFlags: readonly string[];
      readonly lastBadLine: string | null;
      readonly handedOverBytes: number;
    }
  | {
      readonly type: 'heard';
      readonly openId: number;
      readonly bytes: Uint8Array;
      readonly arrivalUs: number;
      readonly handedOverBytes: number;
    }
  /** `bytes`: the length of the file so far. An error is a sentence for the user; it ends the capture. */
  | {
      readonly type: 'captureChanged';
      readonly bytes: number;
      readonly error: string | null;
      readonly isEnded: boolean;
    }
  /** A capture file with the newest bytes of the port; null where none has been open yet. */
  | { readonly type: 'recentBytes'; readonly requestId: number; readonly capture: Uint8Array | null };
