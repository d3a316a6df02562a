import type { RequestResult } from '../../shared-lib/api-contract.ts';
import { DEFINITION_VERSION } from '../../shared-lib/trial/definition-version.ts';
import type { Clock } from '../platform/clock.ts';
import type { Logger } from '../platform/logger.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { countOutdated } from '../storage/measure-anew.ts';
import type { RecordingResults } from '../storage/recording-commands.ts';
import type { RecordingWriter } from '../trials/recording-writer.ts';

export interface Recomputation {
  /** Looks whether there is anything to measure anew, soon; called again it changes nothing. */
  wake(): void;
  state(): RequestResult<'getRecomputation'>;
  close(): void;
}

const PAUSE_MS = 20;
const BUSY_PAUSE_MS = 1000;

/**
 * Has trials whose figures follow an older definition measured anew in the background, one at a time. The older figures stay
 * beneath the new ones, so that what was shown can be explained.
 */
export function createRecomputation(
  tools: {
    readonly database: ReadableDatabase;
    readonly writer: RecordingWriter;
    readonly clock: Clock;
    readonly log: Logger;
    isTrialUnderWay(): boolean;
  },
  onMeasured: (trialId: string) => void,
): Recomputation {
  const { database, writer, clock, log } = tools;
  let timer: NodeJS.Timeout | null = null;
  let isStepping = false;
  /** Asked while a step was on the way, which may have looked too early. */
  let isAwaited = false;
  let isClosed = false;
  /** Tried once per start of the program: they keep their figures, and do not hold up the others. */
  const failed = new Set<string>();

  const step = (): void => {
    timer = null;
    isAwaited ||= isStepping;
    if (isClosed || isStepping) return;
    // While a trial is on, nothing competes with writing it.
    if (tools.isTrialUnderWay()) {
      schedule(BUSY_PAUSE_MS);
      return;
    }
    isStepping = true;
    const at = clock.now().toISOString();
    void writer.perform<'evaluateNext'>({ type: 'evaluateNext', except: [...failed], at }).then(
      (measured) => {
        isStepping = false;
        goOn(measured);
      },
      (cause: unknown) => {
        isStepping = false;
        // The database takes nothing now; the next trial that changes wakes this again.
        if (!isClosed) log.warn('Trials could not be measured anew', { code: 'storage-failed', cause });
      },
    );
  };
  const goOn = (measured: RecordingResults['evaluateNext']): void => {
    if (isClosed || (!measured && !isAwaited)) return;
    isAwaited = false;
    schedule(PAUSE_MS);
    if (!measured) return;
    const { trialId, problem } = measured;
    if (problem === null) onMeasured(trialId);
    else {
      failed.add(trialId);
      log.warn('A trial could not be measured anew; it keeps its figures', {
        code: 'block-corrupt',
        cause: problem,
      });
    }
  };
  const schedule = (delayMs: number): void => {
    if (!isClosed) timer ??= setTimeout(step, delayMs);
  };

  return {
    wake() {
      schedule(PAUSE_MS);
    },
    state: () => ({
      definitionVersion: DEFINITION_VERSION,
      outdatedCount: countOutdated(database),
      failedCount: failed.size,
    }),
    close() {
      isClosed = true;
      if (timer) clearTimeout(timer);
    },
  };
}
