import type { WritableDatabase } from '../storage/database.ts';
import type { Clock } from '../platform/clock.ts';
import type { Logger } from '../platform/logger.ts';
import type { RecordingWriter } from '../trials/recording-writer.ts';
import type { TrialCurves } from '../trials/trial-curves.ts';

/** What the services of the Logbook are put together from. */
export interface LogbookTools {
  readonly database: WritableDatabase;
  readonly clock: Clock;
  readonly log: Logger;
  readonly writer: RecordingWriter;
  readonly trials: Pick<TrialCurves, 'torques'>;
  operator(): string;
  isTrialUnderWay(): boolean;
  readonly trialsChanged: (trialId: string) => void;
}
