import type { EventName, EventPayload } from '../../shared-lib/api-contract.ts';
import type { AcquisitionService, LiveSamples } from '../acquisition/acquisition-service.ts';
import type { AmplifierSession } from '../amplifier/amplifier-session.ts';
import type { BenchService } from '../bench/bench-service.ts';
import type { CalibrationInUse } from '../bench/calibration-in-use.ts';
import type { RingingWatch } from '../bench/ringing-watch.ts';
import type { RunClaim } from '../bench/run-claim.ts';
import type { Platform } from '../platform/platform.ts';
import type { SettingsService } from '../settings-service.ts';
import type { RequestHandlers } from '../services.ts';
import type { WritableDatabase } from '../storage/database.ts';
import type { RecordingWriter } from '../trials/recording-writer.ts';

/** What the services of calibrating are put together from. */
export interface CalibrationTools {
  readonly platform: Platform;
  readonly database: WritableDatabase;
  readonly settings: SettingsService;
  readonly amplifier: AmplifierSession;
  readonly acquisition: AcquisitionService;
  readonly bench: BenchService;
  readonly writer: RecordingWriter;
  readonly ringingWatch: RingingWatch;
  readonly runClaim: RunClaim;
  readonly calibrationInUse: CalibrationInUse;
  emit<Name extends EventName>(name: Name, payload: EventPayload<Name>): void;
  statusChanged(): void;
  trialsChanged(trialId: string): void;
}

/** A part of the program that answers some requests, and follows the live samples where it needs them. */
export interface CalibrationPart<Names extends keyof RequestHandlers> {
  readonly handlers: Pick<RequestHandlers, Names>;
  receive(samples: LiveSamples): void;
  amplifierLost(): void;
  tick(): void;
  close(): void;
}
