import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';
import { listBenches, nameOwnBench } from '../storage/bench-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';

/** Names of benches. */
export function createBenchPart({ database, emit }: ShareTools): {
  readonly handlers: Pick<RequestHandlers, 'listBenches' | 'nameBench'>;
} {
  return {
    handlers: {
      listBenches: () => ({ benches: listBenches(database) }),
      nameBench: ({ name }) =>
        retryWhenLocked(() => {
          nameOwnBench(database, name);
          // Tables of standings name the benches that their trials come from.
          emit('standingsChanged', {});
          return {};
        }),
    },
  };
}
