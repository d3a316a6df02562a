import type { EventName, EventPayload } from '../../shared-lib/api-contract.ts';
import type { QualityGate } from '../../shared-lib/run-sheet/session-model.ts';
import type { Clock } from '../platform/clock.ts';
import type { WritableDatabase } from '../storage/database.ts';
import type { RecordingWriter } from '../trials/recording-writer.ts';

/** What the services that compare tools are put together from. */
export interface ComparisonTools {
  readonly database: WritableDatabase;
  readonly clock: Clock;
  readonly writer: RecordingWriter;
  operator(): string;
  qualityGate(): QualityGate;
  isTrialUnderWay(): boolean;
  emit<Name extends EventName>(name: Name, payload: EventPayload<Name>): void;
}
