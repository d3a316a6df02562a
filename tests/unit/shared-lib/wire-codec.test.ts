import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AppError } from '../../../shared-lib/app-error.ts';
import {
  decodeWireMessage,
  encodeWireMessage,
  type WireFrame,
  type WireMessage,
} from '../../../shared-lib/wire-codec.ts';

function event(payload: unknown): WireMessage {
  return { kind: 'event', name: 'liveCurve', payload };
}

function binary(frame: WireFrame): Uint8Array<ArrayBuffer> {
  if (typeof frame === 'string') throw new Error('expected a binary frame');
  return frame;
}

/** A frame with a header of the test's choice, for what the encoder would never send. */
function forgedFrame(header: unknown, arrayBytes = 0): Uint8Array {
  const text = new TextEncoder().encode(JSON.stringify(header));
  const frame = new Uint8Array(Math.ceil((4 + text.length) / 8) * 8 + arrayBytes);
  new DataView(frame.buffer).setUint32(0, text.length, true);
  frame.set(text, 4);
  return frame;
}

function expectInvalid(frame: string | ArrayBuffer | Uint8Array): void {
  expect(() => decodeWireMessage(frame)).toThrow(
    expect.objectContaining({ name: 'AppError', code: 'invalid-request' }) as AppError,
  );
}

// Minus zero has no JSON form; inside typed arrays it survives.
const jsonLeaf = fc.oneof(
  fc.string(),
  fc.boolean(),
  fc.constant(null),
  fc.double({ noNaN: true, noDefaultInfinity: true }).map((value) => (value === 0 ? 0 : value)),
);
const typedArray = fc.oneof(fc.int32Array(), fc.float32Array(), fc.float64Array());
const anyValue = fc.letrec((tie) => ({
  value: fc.oneof(
    { depthSize: 'small', withCrossShrink: true },
    jsonLeaf,
    typedArray,
    fc.array(tie('value'), { maxLength: 4 }),
    fc.dictionary(fc.oneof(fc.string(), fc.constantFrom('__proto__', 'path', 'arrays')), tie('value'), {
      maxKeys: 4,
      noNullPrototype: true,
    }),
  ),
})).value;

describe('wire codec', () => {
  it('gives back any message with typed arrays anywhere in it', () => {
    fc.assert(
      fc.property(anyValue, fc.nat(), (value, id) => {
        const messages: WireMessage[] = [
          { kind: 'request', id, name: 'getStatus', params: value },
          { kind: 'reply', id, reply: { ok: true, result: value } },
          event(value),
        ];
        for (const message of messages) {
          expect(decodeWireMessage(encodeWireMessage(message))).toStrictEqual(message);
        }
      }),
    );
  });

  it('sends JSON text when there is no typed array', () => {
    const frame = encodeWireMessage({ kind: 'request', id: 1, name: 'getStatus', params: {} });
    expect(frame).toBe('{"kind":"request","id":1,"name":"getStatus","params":{}}');
  });

  it('carries a failure with its code, message and details', () => {
    const message: WireMessage = {
      kind: 'reply',
      id: 3,
      reply: {
        ok: false,
        error: { code: 'port-busy', message: 'In use.', details: { path: '/dev/x', n: 1 } },
      },
    };
    expect(decodeWireMessage(encodeWireMessage(message))).toStrictEqual(message);
  });

  it('keeps NaN, infinities and minus zero inside arrays', () => {
    const min = new Float32Array([NaN, -0, Infinity]);
    const max = new Float64Array([NaN, 1e-320, -Infinity]);
    expect(decodeWireMessage(encodeWireMessage(event({ min, max })))).toStrictEqual(event({ min, max }));
  });

  it('sends the part of a buffer that an array shows and nothing around it', () => {
    const shown = new Int32Array([7, 1, 2, 3, 7]).subarray(1, 4);
    expect(decodeWireMessage(encodeWireMessage(event(shown)))).toStrictEqual(
      event(new Int32Array([1, 2, 3])),
    );
  });

  it('lays the bytes out as documented', () => {
    const frame = binary(encodeWireMessage(event([new Int32Array([-2]), new Float64Array([1])])));
    const view = new DataView(frame.buffer);
    const headerLength = view.getUint32(0, true);
    expect(JSON.parse(new TextDecoder().decode(frame.subarray(4, 4 + headerLength)))).toStrictEqual({
      message: { kind: 'event', name: 'liveCurve', payload: [null, null] },
      arrays: [
        { path: ['payload', 0], type: 'Int32Array', length: 1 },
        { path: ['payload', 1], type: 'Float64Array', length: 1 },
      ],
    });
    const first = Math.ceil((4 + headerLength) / 8) * 8;
    expect(view.getInt32(first, true)).toBe(-2);
    expect(view.getFloat64(first + 8, true)).toBe(1);
    expect(frame.length).toBe(first + 16);
  });

  it('reads a frame at any offset of a larger buffer', () => {
    const message = event({ min: new Float64Array([1.5, NaN]) });
    const frame = binary(encodeWireMessage(message));
    const larger = new Uint8Array(frame.length + 3);
    larger.set(frame, 3);
    expect(decodeWireMessage(larger.subarray(3))).toStrictEqual(message);
    expect(decodeWireMessage(frame.buffer)).toStrictEqual(message);
  });

  it('cannot be made to take text of a user for an array', () => {
    const message = event({
      arrays: [{ path: ['payload'], type: 'Int32Array', length: 1 }],
      x: new Int32Array(1),
    });
    expect(decodeWireMessage(encodeWireMessage(message))).toStrictEqual(message);
  });

  it.each([
    ['NaN outside an array', NaN],
    ['an infinity outside an array', [Infinity]],
    ['a function', { f: () => 1 }],
    ['a typed array of another kind', new Uint16Array(1)],
    ['an object of a class', { when: new Date(0) }],
    ['a bigint', 1n],
  ])('refuses to encode %s', (_, payload) => {
    expect(() => encodeWireMessage(event(payload))).toThrow(/cannot travel/);
  });

  it('answers any bytes with a message or invalid-request', () => {
    const bytes = fc.oneof(
      fc.uint8Array({ maxLength: 300 }),
      // A plausible header length, so that the parts behind it are reached too.
      fc.uint8Array({ minLength: 4, maxLength: 300 }).map((frame) => {
        new DataView(frame.buffer, frame.byteOffset).setUint32(0, frame.length % 64, true);
        return frame;
      }),
    );
    fc.assert(
      fc.property(bytes, (frame) => {
        expectInvalid(frame);
      }),
    );
  });

  it('answers every mutation of a good frame with a message or invalid-request', () => {
    const good = binary(encodeWireMessage(event({ a: new Int32Array([1, 2]), b: [new Float64Array([3])] })));
    fc.assert(
      fc.property(fc.nat(good.length - 1), fc.nat(255), fc.nat(good.length), (at, byte, cut) => {
        const frame = good.slice(0, Math.max(cut, 1));
        frame[at % frame.length] = byte;
        try {
          decodeWireMessage(frame);
        } catch (error) {
          expect(error).toMatchObject({ name: 'AppError', code: 'invalid-request' });
        }
      }),
      { numRuns: 2000 },
    );
  });

  it('refuses any text that is not one whole message', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.json()), (text) => {
        expectInvalid(text);
      }),
    );
    expectInvalid('');
    expectInvalid('null');
    expectInvalid('{"kind":"request","id":-1,"name":"getStatus","params":{}}');
    expectInvalid('{"kind":"request","id":1.5,"name":"getStatus","params":{}}');
    expectInvalid('{"kind":"request","id":1,"name":"getStatus","params":{},"more":1}');
    expectInvalid(
      '{"kind":"reply","id":1,"reply":{"ok":false,"error":{"code":"no-such","message":"","details":{}}}}',
    );
    expectInvalid('['.repeat(100_000));
  });

  it.each([
    ['leads nowhere', { path: ['payload', 'x'], type: 'Int32Array', length: 0 }],
    ['leads through the prototype', { path: ['payload', '__proto__'], type: 'Int32Array', length: 0 }],
    ['leads to a value', { path: ['name'], type: 'Int32Array', length: 0 }],
    ['is empty', { path: [], type: 'Int32Array', length: 0 }],
    ['names an unknown type', { path: ['payload', 'a'], type: 'Uint16Array', length: 0 }],
    ['is longer than the frame', { path: ['payload', 'a'], type: 'Int32Array', length: 2 ** 52 }],
  ])('refuses an array whose description %s', (_, description) => {
    const message = { kind: 'event', name: 'liveCurve', payload: { a: null } };
    expectInvalid(forgedFrame({ message, arrays: [description] }));
    expect(
      decodeWireMessage(
        forgedFrame({ message, arrays: [{ path: ['payload', 'a'], type: 'Int32Array', length: 2 }] }, 8),
      ),
    ).toStrictEqual(event({ a: new Int32Array(2) }));
  });

  it('refuses bytes left over and a frame cut short', () => {
    const good = binary(encodeWireMessage(event({ a: new Int32Array([1, 2]) })));
    const longer = new Uint8Array(good.length + 1);
    longer.set(good);
    expectInvalid(longer);
    for (let length = 0; length < good.length; length += 1) expectInvalid(good.slice(0, length));
  });
});
