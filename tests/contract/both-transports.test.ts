import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  type EventName,
  type EventPayload,
  events,
  type RequestName,
  type RequestParams,
  requests,
} from '../../shared-lib/api-contract.ts';
import { AppError, errorCodes } from '../../shared-lib/app-error.ts';
import { createLogger } from '../../main/platform/logger.ts';
import { arbitraryFromSchema } from '../helpers/arbitrary-from-schema.ts';
import { createScriptedServices, type ScriptedServices } from '../helpers/scripted-services.ts';
import { type OpenTransport, transports } from './transports.ts';

const requestNames = Object.keys(requests) as RequestName[];
const eventNames = Object.keys(events) as EventName[];

describe.each(transports)('the contract over the $name', (transport) => {
  let services: ScriptedServices;
  let opened: OpenTransport;
  let logged: string[];

  beforeEach(async () => {
    services = createScriptedServices();
    logged = [];
    opened = await transport.open(
      services,
      createLogger((line) => logged.push(line)),
    );
    services.script('listPorts', () => ({ ports: [] }));
    await opened.connection.request('listPorts', {});
  });
  afterEach(async () => {
    await opened.close();
  });

  function nextEvent<Name extends EventName>(name: Name): Promise<EventPayload<Name>> {
    return new Promise((resolve) => {
      const unsubscribe = opened.connection.subscribe(name, (payload) => {
        unsubscribe();
        resolve(payload);
      });
    });
  }

  it.each(requestNames)('carries %s and its answer', async (name) => {
    const { params, result } = requests[name];
    await fc.assert(
      fc.asyncProperty(arbitraryFromSchema(params), arbitraryFromSchema(result), async (sent, answered) => {
        let received: unknown;
        services.script(name, (given) => {
          received = given;
          return answered;
        });
        const answer = await opened.connection.request(name, sent as RequestParams<typeof name>);
        expect(received).toStrictEqual(params.parse(sent));
        expect(answer).toStrictEqual(answered);
      }),
      { numRuns: 20 },
    );
  });

  it.each(eventNames)('carries the event %s', async (name) => {
    await fc.assert(
      fc.asyncProperty(arbitraryFromSchema(events[name]), async (payload) => {
        const received = nextEvent(name);
        services.emit(name, payload as EventPayload<typeof name>);
        expect(await received).toStrictEqual(payload);
      }),
      { numRuns: 20 },
    );
  });

  it('keeps NaN and every bit of typed arrays', async () => {
    const received = nextEvent('liveCurve');
    const min = new Float32Array([NaN, 1.5, -0]);
    const max = new Float32Array([NaN, 3.4e38, 1e-45]);
    services.emit('liveCurve', {
      generation: 1,
      quantity: 'torqueNm',
      sampleRateHz: 1000,
      samplesPerBin: 4,
      firstBin: 0,
      min,
      max,
      latestMean: null,
      isOutsideCalibratedRange: false,
    });
    expect(await received).toMatchObject({ min, max });

    const counts = new Int32Array([-(2 ** 31), 2 ** 31 - 1, 0]);
    services.script('getTrialCounts', () => ({ trialId: 't', counts, gaps: new Int32Array() }));
    expect(await opened.connection.request('getTrialCounts', { trialId: 't' })).toStrictEqual({
      trialId: 't',
      counts,
      gaps: new Int32Array(),
    });
  });

  it.each(requestNames)(
    'refuses parameters of %s that break the contract, without calling it',
    async (name) => {
      let isCalled = false;
      services.script(name, () => {
        isCalled = true;
      });
      for (const params of [undefined, null, 7, 'text', [], [{}], { noSuchMember: 1 }, new Int32Array(2)]) {
        const reply = await opened.rawRequest(name, params);
        expect(reply).toMatchObject({
          ok: false,
          error: { code: 'invalid-request', details: { request: name } },
        });
      }
      expect(isCalled).toBe(false);
    },
  );

  it.each([
    'noSuchRequest',
    '',
    '__proto__',
    'constructor',
    'toString',
    7,
    null,
    undefined,
    {},
    ['getStatus'],
  ])('answers the unknown request %j', async (name) => {
    expect(await opened.rawRequest(name, {})).toMatchObject({
      ok: false,
      error: { code: 'unknown-request' },
    });
  });

  it.each(errorCodes)('carries the failure %s with its message and details', async (code) => {
    const details = { path: '/dev/ttyX', count: 3, isKnown: true, cause: null };
    services.script('connectAmplifier', () => {
      throw new AppError(code, 'It did not work; nothing was lost; try again.', details);
    });
    const settings = {
      path: '/dev/ttyX',
      profileId: 'counts',
      baudRate: 9600,
      nominalRateHz: 80,
      converterBits: 24,
    };
    await expect(opened.connection.request('connectAmplifier', settings)).rejects.toMatchObject({
      name: 'AppError',
      code,
      message: 'It did not work; nothing was lost; try again.',
      details,
    });
  });

  it('answers a bug with internal and a log id, and tells the page nothing else of it', async () => {
    services.script('takeZero', () => {
      throw new TypeError('secret detail of the code');
    });
    const error = await opened.connection
      .request('takeZero', {})
      .catch((failure: unknown) => failure as AppError);
    expect(error).toMatchObject({ code: 'internal' });
    const { message, details } = error as AppError;
    expect(JSON.stringify({ message, details })).not.toMatch(/secret|\.ts:/);
    const line = logged.find((entry) => entry.includes(String(details['logId'])));
    expect(line).toContain('secret detail of the code');
    expect(line).toContain('"requestName":"takeZero"');
  });

  it('answers a result that breaks the contract with internal', async () => {
    services.script('listPorts', () => ({ ports: 'none' }));
    await expect(opened.connection.request('listPorts', {})).rejects.toMatchObject({ code: 'internal' });
  });

  it('answers each request for itself, whatever the order', async () => {
    let finishFirst = (): void => undefined;
    services.script('confirmSense', async () => {
      await new Promise<void>((resolve) => {
        finishFirst = resolve;
      });
      throw new AppError('no-onset', 'No push was seen.');
    });
    const first = opened.connection.request('confirmSense', {}).catch((error: unknown) => error);
    await expect(opened.connection.request('listPorts', {})).resolves.toStrictEqual({ ports: [] });
    finishFirst();
    expect(await first).toMatchObject({ code: 'no-onset' });
  });

  it('stops calling a listener that has unsubscribed, and only that one', async () => {
    const calls: string[] = [];
    const unsubscribe = opened.connection.subscribe('trialsChanged', () => calls.push('ended'));
    opened.connection.subscribe('trialsChanged', () => calls.push('stays'));
    services.emit('trialsChanged', { trialId: 'first' });
    await opened.connection.request('listPorts', {});
    unsubscribe();
    services.emit('trialsChanged', { trialId: 'second' });
    // An answer comes after the events before it.
    await opened.connection.request('listPorts', {});
    expect(calls).toStrictEqual(['ended', 'stays', 'stays']);
  });

  it('rejects what is under way with connection-lost when the link breaks', async () => {
    services.script('confirmSense', () => new Promise(() => undefined));
    const pending = opened.connection.request('confirmSense', {}).catch((error: unknown) => error);
    await opened.connection.request('listPorts', {});
    opened.breakOff();
    expect(await pending).toMatchObject({ name: 'AppError', code: 'connection-lost' });
  });

  it('answers what is under way, and what comes after, with shutting-down', async () => {
    services.script('confirmSense', () => new Promise(() => undefined));
    const pending = opened.connection.request('confirmSense', {}).catch((error: unknown) => error);
    await opened.connection.request('listPorts', {});
    opened.beginShutdown();
    expect(await pending).toMatchObject({ code: 'shutting-down' });
    await expect(opened.connection.request('listPorts', {})).rejects.toMatchObject({ code: 'shutting-down' });
  });
});
