import fc from 'fast-check';
import { createDispatcher } from '../../main/dispatch-request.ts';
import { createLogger } from '../../main/platform/logger.ts';
import { failureSchema, type RequestName, requests } from '../../shared-lib/api-contract.ts';
import { arbitraryFromSchema } from '../../tests/helpers/arbitrary-from-schema.ts';
import { makeDataFolder, startRealServices } from '../../tests/helpers/running-services.ts';
import type { Figure } from '../measured-figures.ts';

const PAYLOADS = 1000;
const SEED = 20_261_125;
/** Waits 15 s for a push by hand where the bench is ready for one; the others answer at once or after opening a port. */
const LONGEST_ANSWER_MS = 60_000;

/** F6: every request of the contract with random payloads, against the real services. */
export async function measureRandomRequests(payloadsPerRequest = PAYLOADS): Promise<Figure> {
  const folder = makeDataFolder();
  const bench = await startRealServices(folder.path);
  const uncoded: string[] = [];
  let sent = 0;
  let answered = 0;
  let refusedAsInvalid = 0;
  try {
    const dispatcher = createDispatcher(
      bench.services.handlers,
      createLogger(() => undefined),
      { checksResults: true },
    );
    await dispatcher.dispatch('connectSimulatedBench', {});
    for (const name of Object.keys(requests) as RequestName[]) {
      for (const payload of payloadsFor(name, payloadsPerRequest)) {
        sent += 1;
        const reply = await Promise.race([
          dispatcher.dispatch(name, payload),
          new Promise<null>((resolve) => setTimeout(resolve, LONGEST_ANSWER_MS, null).unref()),
        ]);
        if (reply === null) {
          uncoded.push(`${name}: no answer`);
          break;
        }
        if (reply.ok) answered += 1;
        else if (reply.error.code === 'internal' || !failureSchema.safeParse(reply.error).success) {
          uncoded.push(`${name}: ${reply.error.code} for ${JSON.stringify(payload).slice(0, 120)}`);
        } else if (reply.error.code === 'invalid-request') refusedAsInvalid += 1;
      }
    }
    const alive = await dispatcher.dispatch('getStatus', {});
    if (!alive.ok) uncoded.push('getStatus: no status any more');
  } finally {
    await bench.close();
    folder.remove();
  }
  return {
    value: uncoded.length,
    unit: `of ${sent} random requests without an answer or with an error that has no code`,
    baseline: 0,
    limit: 0,
    met: uncoded.length === 0,
    note:
      `${Object.keys(requests).length} requests, ${payloadsPerRequest} payloads each: half of them well formed, half anything at all. ` +
      `${answered} were carried out, ${refusedAsInvalid} refused as malformed, the others refused for the state of the bench. ${uncoded.slice(0, 5).join('; ')}`,
  };
}

function payloadsFor(name: RequestName, count: number): unknown[] {
  const wellFormed = fc.sample(arbitraryFromSchema(requests[name].params), {
    numRuns: Math.floor(count / 2),
    seed: SEED,
  });
  const anything = fc.sample(fc.anything({ maxDepth: 3, withBigInt: false }), {
    numRuns: Math.ceil(count / 2),
    seed: SEED,
  });
  // In turn, so that a request meets the bench in many states.
  return wellFormed.flatMap((payload, index) => [payload, anything[index]]);
}
