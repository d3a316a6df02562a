import type { RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { logbookRequests } from '../../shared-lib/logbook/logbook-requests.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { windowFigures } from '../../shared-lib/trial/window-figures.ts';
import { startOfDay } from '../platform/local-day.ts';
import type { RequestHandlers } from '../services.ts';
import { annotate, listTags } from '../storage/annotation-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { listTrials } from '../storage/trial-list.ts';
import { getTrial } from '../storage/trial-repository.ts';
import type { LogbookTools } from './logbook-tools.ts';
import { createRecomputation } from './recomputation.ts';
import { relabelTrial } from './relabel-trial.ts';
import { readWhatIf } from './what-if.ts';

/** Finding trials, reading them again, and what is said about them afterwards, as one part of the program. */
export function createLogbookParts(tools: LogbookTools) {
  const { database, writer, trials, clock, trialsChanged } = tools;
  const recomputation = createRecomputation(tools, trialsChanged);
  const by = () => ({ operator: tools.operator(), at: clock.now().toISOString() });

  const handlers: Pick<RequestHandlers, keyof typeof logbookRequests> = {
    listTrials: ({ fromDay, toDay, ...query }) =>
      listTrials(database, {
        ...query,
        startedFrom: fromDay && startOfDay(fromDay),
        startedBefore: toDay && startOfDay(toDay, 1),
      }),
    listTags: () => ({ tags: listTags(database) }),
    annotateTrial: ({ trialId, note, tags }) =>
      retryWhenLocked(() => {
        annotate(database, trialId, { note, tags, ...by() });
        trialsChanged(trialId);
        return {};
      }),
    relabelTrial: (request) =>
      retryWhenLocked(() => {
        relabelTrial(database, request, by());
        trialsChanged(request.trialId);
        return {};
      }),
    async whatIfTrial({ trialId, ...asked }) {
      const trial = keptTrial(trialId, 'Figures under other assumptions');
      const { assumed, sentences } = readWhatIf(database, trial, asked);
      if (tools.isTrialUnderWay()) {
        throw new AppError(
          'invalid-state',
          'A trial is under way, and nothing competes with recording it. Nothing was computed; ask again when it has ended.',
        );
      }
      const { figures } = await writer.perform<'whatIf'>({ type: 'whatIf', trialId, assumed });
      return { figures, assumptions: [...sentences] };
    },
    getWindowFigures: (request) => figuresOfWindow(request),
    getRecomputation: () => recomputation.state(),
  };

  const keptTrial = (trialId: string, what: string): TrialRecord => {
    const trial = getTrial(database, trialId);
    if (trial.figures !== null) return trial;
    // What picks results by their figures must not see them before.
    throw new AppError(
      'invalid-state',
      `${what} are shown once the trial has been kept, as its own figures are. The trial is as it was; keep it first.`,
      { trialId },
    );
  };

  const figuresOfWindow = async ({
    trialId,
    fromS,
    toS,
  }: RequestParams<'getWindowFigures'>): Promise<RequestResult<'getWindowFigures'>> => {
    const trial = keptTrial(trialId, 'Figures of a window');
    if (fromS > toS) {
      throw new AppError(
        'input-out-of-range',
        'The window ends before it begins. Nothing was computed; give the earlier time first.',
        { trialId, fromS, toS },
      );
    }
    const { cells, sampleRateHz } = await trials.torques(trial);
    const { onsetSlot } = trial;
    return { fromS, toS, ...windowFigures({ cells, onsetSlot, sampleRateHz }, fromS, toS) };
  };

  return {
    handlers,
    /** A trial has changed, or the program has started: there may be something to measure anew. */
    wake: () => {
      recomputation.wake();
    },
    close: () => {
      recomputation.close();
    },
  };
}
