import { z } from 'zod';
import { failureSchema } from './api-contract.ts';
import { AppError } from './app-error.ts';

/**
 * What travels over the socket between a window and the loopback host, one message per WebSocket frame.
 *
 * Text frame (no typed array inside): the message as JSON.
 * Binary frame (one or more typed arrays inside), all numbers little-endian:
 *
 *   bytes 0..3   u32, length of the header in bytes
 *   header       UTF-8 JSON `{ "message": ..., "arrays": [{ "path", "type", "length" }, ...] }`; in the message each
 *                typed array is replaced by null, its `path` is the list of keys that leads there
 *   arrays       the elements of each array in the order of the list, each array starting at a multiple of 8 bytes from
 *                the start of the frame; the frame ends with the last element of the last array
 *
 * Arrays are named by path and not by a marker value, so that no text a user enters can be taken for one.
 * As in JSON, a member whose value is undefined is left out. NaN and infinities exist inside typed arrays only.
 */
const messageSchema = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('request'),
    /** Chosen by the sender, unique among its requests under way. */
    id: z.int().min(0),
    /** Not narrowed here: a request with a wrong name or none still has an id, and so gets an answer. */
    name: z.unknown().optional(),
    params: z.unknown().optional(),
  }),
  z.strictObject({
    kind: z.literal('reply'),
    id: z.int().min(0),
    reply: z.discriminatedUnion('ok', [
      z.strictObject({ ok: z.literal(true), result: z.unknown() }),
      z.strictObject({ ok: z.literal(false), error: failureSchema }),
    ]),
  }),
  z.strictObject({ kind: z.literal('event'), name: z.string(), payload: z.unknown() }),
  /** First of all to a window that came in by a ticket: what it is to show from then on. */
  z.strictObject({ kind: z.literal('token'), token: z.string() }),
]);
export type WireMessage = z.infer<typeof messageSchema>;

export type WireFrame = string | Uint8Array<ArrayBuffer>;

/** First entry of the WebSocket's subprotocol list; the second is `token.` and the token, or `ticket.` and a ticket that works once. */
export const wireProtocol = 'proofarm.1';

const arrayTypes = { Uint8Array, Int32Array, Float32Array, Float64Array } as const;
type ArrayType = keyof typeof arrayTypes;
type WireArray = InstanceType<(typeof arrayTypes)[ArrayType]>;
type Path = readonly (string | number)[];

const headerSchema = z.strictObject({
  message: z.unknown(),
  arrays: z
    .array(
      z.strictObject({
        path: z.array(z.union([z.string(), z.int().min(0)])).min(1),
        type: z.literal(['Uint8Array', 'Int32Array', 'Float32Array', 'Float64Array']),
        length: z.int().min(0),
      }),
    )
    .min(1),
});

// Every JavaScript host has these two, but they belong to no ECMAScript library that this layer compiles with.
declare const TextEncoder: new () => { encode(text: string): Uint8Array };
declare const TextDecoder: new (
  label: string,
  options: { fatal: boolean },
) => { decode(bytes: Uint8Array): string };

/**
 * Errors: throws plainly on what cannot travel (functions, other typed arrays, NaN or an infinity outside an array);
 * no value of the contract holds such a thing.
 */
export function encodeWireMessage(message: WireMessage): WireFrame {
  const arrays: { path: Path; array: WireArray }[] = [];
  const text = takeArraysOut(message, [], arrays);
  if (arrays.length === 0) return JSON.stringify(text);

  const header = new TextEncoder().encode(
    JSON.stringify({
      message: text,
      arrays: arrays.map(({ path, array }) => ({ path, type: arrayTypeOf(array), length: array.length })),
    }),
  );
  let end = 4 + header.length;
  const starts = arrays.map(({ array }) => {
    const start = nextMultipleOf8(end);
    end = start + array.byteLength;
    return start;
  });
  const frame = new Uint8Array(end);
  new DataView(frame.buffer).setUint32(0, header.length, true);
  frame.set(header, 4);
  arrays.forEach(({ array }, index) => {
    frame.set(new Uint8Array(array.buffer, array.byteOffset, array.byteLength), starts[index]);
  });
  return frame;
}

/**
 * Arrays in the result share the memory of the frame if that is an ArrayBuffer.
 *
 * Errors: AppError 'invalid-request' for anything that is not a whole message; never another error, whatever the bytes.
 */
export function decodeWireMessage(frame: string | ArrayBuffer | Uint8Array): WireMessage {
  if (typeof frame === 'string') return checkMessage(parseJson(frame));

  // An ArrayBuffer is used as it is; a Uint8Array is copied, for Node hands out slices that start off any alignment.
  const bytes: Uint8Array<ArrayBuffer> = new Uint8Array(frame);
  if (bytes.length < 4) throw notAMessage('it is shorter than its length field');
  const headerLength = new DataView(bytes.buffer).getUint32(0, true);
  let end = 4 + headerLength;
  if (end > bytes.length) throw notAMessage('its header is cut off');
  const header = headerSchema.safeParse(parseJson(decodeText(bytes.subarray(4, end))));
  if (!header.success) throw notAMessage('its header has another form');

  const { message, arrays } = header.data;
  for (const { path, type, length } of arrays) {
    const construct = arrayTypes[type];
    const start = nextMultipleOf8(end);
    end = start + length * construct.BYTES_PER_ELEMENT;
    if (end > bytes.length) throw notAMessage('an array is cut off');
    putArrayBack(message, path, new construct(bytes.buffer, start, length));
  }
  if (end !== bytes.length) throw notAMessage('bytes are left over');
  return checkMessage(message);
}

function takeArraysOut(value: unknown, path: Path, arrays: { path: Path; array: WireArray }[]): unknown {
  if (isWireArray(value)) {
    arrays.push({ path, array: value });
    return null;
  }
  if (Array.isArray(value)) {
    return value.map((item: unknown, index) => takeArraysOut(item, [...path, index], arrays));
  }
  switch (typeof value) {
    case 'string':
    case 'boolean':
    case 'undefined':
      return value;
    case 'number':
      if (!Number.isFinite(value)) throw new Error(`${String(value)} at ${path.join('.')} cannot travel`);
      return value;
    case 'object': {
      if (value === null) return null;
      const prototype: unknown = Object.getPrototypeOf(value);
      if (prototype !== Object.prototype && prototype !== null) break;
      return Object.fromEntries(
        Object.entries(value).map(([key, member]) => [key, takeArraysOut(member, [...path, key], arrays)]),
      );
    }
    default:
      break;
  }
  throw new Error(`A value of this kind cannot travel: ${typeof value} at ${path.join('.')}`);
}

function putArrayBack(message: unknown, path: Path, array: WireArray): void {
  let holder: unknown = message;
  for (const key of path.slice(0, -1)) holder = ownMember(holder, key);
  const lastKey = path.at(-1);
  if (lastKey === undefined || ownMember(holder, lastKey) !== null) {
    throw notAMessage('an array has no place in it');
  }
  // An own member of this name exists, so that even the key __proto__ sets that member and not the prototype.
  (holder as Record<string | number, unknown>)[lastKey] = array;
}

function ownMember(holder: unknown, key: string | number): unknown {
  const isIndexed = Array.isArray(holder) && typeof key === 'number' && key < holder.length;
  const isNamed =
    typeof holder === 'object' &&
    holder !== null &&
    !Array.isArray(holder) &&
    !isWireArray(holder) &&
    typeof key === 'string' &&
    Object.hasOwn(holder, key);
  if (!isIndexed && !isNamed) throw notAMessage('an array has no place in it');
  return (holder as Record<string | number, unknown>)[key];
}

function checkMessage(value: unknown): WireMessage {
  const message = messageSchema.safeParse(value);
  if (!message.success) throw notAMessage('it has another form');
  return message.data;
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch {
    throw notAMessage('it is not JSON');
  }
}

function decodeText(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw notAMessage('its header is not UTF-8');
  }
}

function nextMultipleOf8(offset: number): number {
  return Math.ceil(offset / 8) * 8;
}

function isWireArray(value: unknown): value is WireArray {
  return Object.values(arrayTypes).some((construct) => value instanceof construct);
}

function arrayTypeOf(array: WireArray): ArrayType {
  if (array instanceof Int32Array) return 'Int32Array';
  if (array instanceof Uint8Array) return 'Uint8Array';
  return array instanceof Float32Array ? 'Float32Array' : 'Float64Array';
}

function notAMessage(why: string): AppError {
  return new AppError(
    'invalid-request',
    `A message could not be read: ${why}. Nothing was changed; reload the page and try again.`,
  );
}
