import type { EventName, EventPayload } from '../../shared-lib/api-contract.ts';
import type { comparisonRequests } from '../../shared-lib/comparison/comparison-requests.ts';
import type { QualityGate } from '../../shared-lib/run-sheet/session-model.ts';
import type { Clock } from '../platform/clock.ts';
import type { RequestHandlers } from '../services.ts';
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

/** All that compares tools with each other and with what is claimed of them, as one part of the program. */
export function createComparisonParts(_tools: ComparisonTools): {
  readonly handlers: Pick<RequestHandlers, keyof typeof comparisonRequests>;
} {
  const notYet = (): never => {
    throw new Error('Not built yet');
  };
  return {
    handlers: {
      listContenders: notYet,
      compare: notYet,
      compareReach: notYet,
      compareField: notYet,
      checkClaims: notYet,
      listMargins: notYet,
      setMargin: notYet,
    },
  };
}
