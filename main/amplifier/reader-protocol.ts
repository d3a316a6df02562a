import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { SerialPortInfo } from '../../shared-lib/api-contract.ts';
import type { StreamFault } from '../../shared-lib/amplifier/amplifier-stream-decoder.ts';
import type { ErrorCode } from '../../shared-lib/app-error.ts';
import type { SampleBlock } from '../../shared-lib/signal/sample-block.ts';
import type { SimulatedBenchOptions, SimulatedPull } from '../../shared-lib/simulation/simulated-bench.ts';

/** What main and the reader process say to each other; structured clone carries it. */
export type PortSource =
  | { readonly kind: 'serial'; readonly path: string }
  | { readonly kind: 'simulated'; readonly options: SimulatedBenchOptions };

export type ReaderCommand =
  | { readonly type: 'listPorts'; readonly requestId: number }
  | {
      readonly type: 'open';
      readonly openId: number;
      readonly source: PortSource;
      readonly profile: AmplifierProfile;
    }
  | { readonly type: 'close' }
  /** Simulated bench only: the simulated operator pulls the trigger. */
  | { readonly type: 'pull'; readonly pull: SimulatedPull }
  | { readonly type: 'push'; readonly torqueNm: number; readonly durationS: number };

export type ReaderReport =
  | { readonly type: 'ports'; readonly requestId: number; readonly ports: readonly SerialPortInfo[] }
  | { readonly type: 'portsFailed'; readonly requestId: number; readonly message: string }
  | { readonly type: 'opened'; readonly openId: number }
  | {
      readonly type: 'openFailed';
      readonly openId: number;
      readonly code: ErrorCode;
      readonly message: string;
    }
  | { readonly type: 'closed'; readonly openId: number; readonly message: string | null }
  | {
      readonly type: 'data';
      readonly openId: number;
      readonly blocks: readonly SampleBlock[];
      readonly faults: readonly StreamFault[];
      readonly lastBadLine: string | null;
    };
