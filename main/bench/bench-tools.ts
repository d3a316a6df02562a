import type { AcquisitionService } from '../acquisition/acquisition-service.ts';
import type { AmplifierSession } from '../amplifier/amplifier-session.ts';
import type { Platform } from '../platform/platform.ts';
import type { SettingsService } from '../settings-service.ts';
import type { WritableDatabase } from '../storage/database.ts';
import type { TrialRunner } from '../trials/trial-runner.ts';
import type { BenchSheet } from './bench-sheet.ts';
import type { CalibrationInUse } from './calibration-in-use.ts';
import type { DiskWatch } from './disk-watch.ts';
import type { RingingWatch } from './ringing-watch.ts';
import type { RunClaim } from './run-claim.ts';
import type { SenseWatch } from './sense-watch.ts';
import type { ZeroWatch } from './zero-watch.ts';

/** What the bench is put together from. */
export interface BenchTools {
  readonly platform: Platform;
  readonly amplifier: AmplifierSession;
  readonly acquisition: AcquisitionService;
  readonly runner: TrialRunner;
  readonly senseWatch: SenseWatch;
  readonly zeroWatch: ZeroWatch;
  readonly ringingWatch: RingingWatch;
  readonly runClaim: RunClaim;
  readonly calibrationInUse: CalibrationInUse;
  readonly disk: DiskWatch;
  readonly sheetOnBench: BenchSheet;
  readonly settings: SettingsService;
  readonly database: WritableDatabase;
}
