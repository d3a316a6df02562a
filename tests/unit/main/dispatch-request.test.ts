import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createDispatcher } from '../../../main/dispatch-request.ts';
import { createLogger } from '../../../main/platform/logger.ts';
import { failureSchema, type Reply, type RequestName, requests } from '../../../shared-lib/api-contract.ts';
import { arbitraryFromSchema } from '../../helpers/arbitrary-from-schema.ts';
import { createScriptedServices } from '../../helpers/scripted-services.ts';

const requestNames = Object.keys(requests) as RequestName[];
const silentLog = createLogger(() => undefined);

function expectCodedAnswer(reply: Reply): void {
  expect(reply.ok ? true : failureSchema.safeParse(reply.error).success).toBe(true);
}

/** Anything that structured clone or JSON can bring, and good parameters with one member changed. */
function hostileParams(name: RequestName): fc.Arbitrary<unknown> {
  const good = arbitraryFromSchema(requests[name].params);
  const anything = fc.anything({
    withBigInt: true,
    withDate: true,
    withMap: true,
    withSet: true,
    withTypedArray: true,
  });
  return fc.oneof(
    anything,
    good,
    fc.tuple(good, fc.nat(), anything).map(([params, index, other]) => {
      const keys = Object.keys(params as object);
      const key = keys[index % Math.max(keys.length, 1)] ?? 'surplus';
      return { ...(params as object), [key]: other };
    }),
  );
}

describe('dispatcher', () => {
  it.each(requestNames)(
    'answers 1 000 random payloads of %s, and calls it with accepted ones only',
    async (name) => {
      const services = createScriptedServices();
      const { params } = requests[name];
      services.script(name, (given) => {
        expect(params.safeParse(given).success).toBe(true);
        return {};
      });
      const dispatcher = createDispatcher(services.handlers, silentLog);
      await fc.assert(
        fc.asyncProperty(hostileParams(name), async (sent) => {
          const reply = await dispatcher.dispatch(name, sent);
          expectCodedAnswer(reply);
          expect(reply.ok).toBe(params.safeParse(sent).success);
          if (!reply.ok) expect(reply.error.code).toBe('invalid-request');
        }),
        { numRuns: 1000 },
      );
    },
  );

  it('answers any name', async () => {
    const dispatcher = createDispatcher(createScriptedServices().handlers, silentLog);
    await fc.assert(
      fc.asyncProperty(fc.anything(), fc.anything(), async (name, params) => {
        expect(await dispatcher.dispatch(name, params)).toMatchObject({
          ok: false,
          error: { code: 'unknown-request' },
        });
      }),
    );
  });

  it('answers even where reading a parameter throws', async () => {
    const dispatcher = createDispatcher(createScriptedServices().handlers, silentLog);
    const params = {
      get trialId(): string {
        throw new Error('trap');
      },
    };
    expectCodedAnswer(await dispatcher.dispatch('getTrial', params));
  });

  it('names the member that was wrong, in a message of bounded length', async () => {
    const dispatcher = createDispatcher(createScriptedServices().handlers, silentLog);
    const wrongRate = {
      path: '/dev/ttyX',
      profileId: 'counts',
      baudRate: 1,
      nominalRateHz: 80,
      converterBits: 24,
    };
    expect(await dispatcher.dispatch('connectAmplifier', wrongRate)).toMatchObject({
      ok: false,
      error: { code: 'invalid-request', details: { request: 'connectAmplifier', path: 'baudRate' } },
    });
    const reply = await dispatcher.dispatch('getStatus', { ['x'.repeat(100_000)]: 1 });
    expect(reply.ok ? Infinity : JSON.stringify(reply.error).length).toBeLessThan(1000);
  });

  it('passes results on as they are where results are not checked', async () => {
    const services = createScriptedServices();
    const result = { ports: 'not in the contract' };
    services.script('listPorts', () => result);
    expect(await createDispatcher(services.handlers, silentLog).dispatch('listPorts', {})).toStrictEqual({
      ok: true,
      result,
    });
  });
});
