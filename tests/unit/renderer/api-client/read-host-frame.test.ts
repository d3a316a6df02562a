import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readHostFrame } from '../../../../renderer/api-client/read-host-frame.ts';
import { decodeWireMessage, encodeWireMessage, type WireMessage } from '../../../../shared-lib/wire-codec.ts';

/** As a socket hands a frame over: text, or a buffer of its own. */
function asReceived(message: WireMessage): string | ArrayBuffer {
  const frame = encodeWireMessage(message);
  return typeof frame === 'string' ? frame : frame.buffer;
}

const leaf = fc.oneof(
  fc.string(),
  fc.boolean(),
  fc.constant(null),
  fc.integer(),
  fc.uint8Array(),
  fc.int32Array(),
  fc.float32Array(),
  fc.float64Array(),
);
const payload = fc.letrec((tie) => ({
  value: fc.oneof(
    { maxDepth: 3 },
    leaf,
    fc.array(tie('value'), { maxLength: 4 }),
    fc.dictionary(fc.oneof(fc.string(), fc.constant('__proto__')), tie('value'), {
      maxKeys: 4,
      noNullPrototype: true,
    }),
  ),
})).value;

describe('a frame of the host, read by a window', () => {
  it('is what the codec of both sides reads, whatever was sent', () => {
    fc.assert(
      fc.property(payload, (sent) => {
        const frame = asReceived({ kind: 'event', name: 'liveCurve', payload: sent });
        expect(readHostFrame(frame)).toStrictEqual(decodeWireMessage(frame));
      }),
    );
  });

  it('brings an answer and a refusal with their numbers, and a token', () => {
    const answer: WireMessage = {
      kind: 'reply',
      id: 7,
      reply: { ok: true, result: { counts: new Int32Array([1, -2]) } },
    };
    const refusal: WireMessage = {
      kind: 'reply',
      id: 8,
      reply: { ok: false, error: { code: 'invalid-state', message: 'Not now.', details: {} } },
    };
    expect(readHostFrame(asReceived(answer))).toStrictEqual(answer);
    expect(readHostFrame(asReceived(refusal))).toStrictEqual(refusal);
    const token: WireMessage = { kind: 'token', token: 'Tq3' };
    expect(readHostFrame(asReceived(token))).toStrictEqual(token);
  });

  it('shares its arrays with the memory of the frame, so that a live curve is not copied', () => {
    const frame = asReceived({ kind: 'event', name: 'liveCurve', payload: new Float32Array([1, 2, 3]) });
    const message = readHostFrame(frame);
    if (message.kind !== 'event') throw new Error('expected an event');
    expect((message.payload as Float32Array).buffer).toBe(frame);
  });

  it('throws on what is no frame', () => {
    expect(() => readHostFrame('no JSON')).toThrow(SyntaxError);
    expect(() => readHostFrame(new ArrayBuffer(2))).toThrow(RangeError);
  });
});
