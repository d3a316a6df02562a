import type { Reply } from '../../shared-lib/api-contract.ts';

export type HostMessage =
  | { readonly kind: 'reply'; readonly id: number; readonly reply: Reply }
  | { readonly kind: 'event'; readonly name: string; readonly payload: unknown }
  | { readonly kind: 'token'; readonly token: string };

interface Header {
  readonly message: HostMessage;
  readonly arrays: readonly {
    readonly path: readonly (string | number)[];
    readonly type: keyof typeof arrayTypes;
    readonly length: number;
  }[];
}

const arrayTypes = { Uint8Array, Int32Array, Float32Array, Float64Array } as const;

/**
 * Reads a frame of `shared-lib/wire-codec.ts`, which says its form, from the host that served this page. Arrays share the memory of the
 * frame.
 *
 * The host holds what windows send to schemas; a page that did the same with its own host would have to read a library of schemas before its
 * first picture. Errors: throws plainly on what is no such frame.
 */
export function readHostFrame(frame: string | ArrayBuffer): HostMessage {
  if (typeof frame === 'string') return JSON.parse(frame) as HostMessage;

  const headerLength = new DataView(frame).getUint32(0, true);
  let end = 4 + headerLength;
  const text = new TextDecoder('utf-8', { fatal: true }).decode(new Uint8Array(frame, 4, headerLength));
  const { message, arrays } = JSON.parse(text) as Header;
  for (const { path, type, length } of arrays) {
    const construct = arrayTypes[type];
    const start = Math.ceil(end / 8) * 8;
    end = start + length * construct.BYTES_PER_ELEMENT;
    putBack(message, path, new construct(frame, start, length));
  }
  return message;
}

function putBack(message: HostMessage, path: readonly (string | number)[], array: ArrayBufferView): void {
  let holder: unknown = message;
  for (const key of path.slice(0, -1)) holder = (holder as Record<string | number, unknown>)[key];
  // The codec leaves null where an array was; an own member, whatever its name.
  (holder as Record<string | number, unknown>)[path.at(-1) ?? ''] = array;
}
