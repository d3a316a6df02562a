import { describe, expect, it } from 'vitest';
import { AppError } from '../../../../shared-lib/app-error.ts';
import { RequestCorrelator } from '../../../../renderer/api-client/request-correlator.ts';

describe('request correlator', () => {
  it('gives each request its own answer when the answers come out of order', async () => {
    const correlator = new RequestCorrelator();
    const first = correlator.open();
    const second = correlator.open();
    expect(correlator.settle(second.requestId, { ok: true, result: 'second' })).toBe(true);
    expect(correlator.settle(first.requestId, { ok: true, result: 'first' })).toBe(true);
    await expect(first.answer).resolves.toBe('first');
    await expect(second.answer).resolves.toBe('second');
  });

  it('turns a failure into an AppError with its code, message and details', async () => {
    const correlator = new RequestCorrelator();
    const { requestId, answer } = correlator.open();
    correlator.settle(requestId, {
      ok: false,
      error: { code: 'port-busy', message: 'Another program holds it.', details: { path: 'COM3' } },
    });
    const error = await answer.catch((failure: unknown) => failure);
    expect(error).toBeInstanceOf(AppError);
    expect(error).toMatchObject({
      code: 'port-busy',
      message: 'Another program holds it.',
      details: { path: 'COM3' },
    });
  });

  it('rejects everything that is pending with connection-lost when the link breaks', async () => {
    const correlator = new RequestCorrelator();
    const answers = [correlator.open().answer, correlator.open().answer];
    correlator.rejectAll();
    for (const answer of answers) await expect(answer).rejects.toMatchObject({ code: 'connection-lost' });
  });

  it('lets the first of two answers stand and says that nobody waited for the second', async () => {
    const correlator = new RequestCorrelator();
    const { requestId, answer } = correlator.open();
    correlator.settle(requestId, { ok: true, result: 1 });
    expect(correlator.settle(requestId, { ok: true, result: 2 })).toBe(false);
    await expect(answer).resolves.toBe(1);
  });

  it('ignores an answer that arrives after the link broke, and goes on with new requests', async () => {
    const correlator = new RequestCorrelator();
    const lost = correlator.open();
    correlator.rejectAll();
    await expect(lost.answer).rejects.toMatchObject({ code: 'connection-lost' });
    expect(correlator.settle(lost.requestId, { ok: true, result: 'late' })).toBe(false);

    const next = correlator.open();
    expect(next.requestId).not.toBe(lost.requestId);
    correlator.settle(next.requestId, { ok: true, result: 'new' });
    await expect(next.answer).resolves.toBe('new');
  });
});
