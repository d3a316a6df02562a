/**
 * What a WebM file says of its film, read from its bytes by the form of RFC 8794 (EBML) and RFC 9559 (Matroska), without any library
 * that could have written it.
 */
export interface WebmFilm {
  readonly docType: string;
  readonly codec: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly alphaMode: number;
  readonly durationS: number;
  /** Of each frame, in ms. */
  readonly timestampsMs: readonly number[];
  /** How many frames have a second picture beside them, of how opaque each point is. */
  readonly framesWithAlpha: number;
}

const id = {
  ebml: 0x1a45dfa3,
  docType: 0x4282,
  segment: 0x18538067,
  info: 0x1549a966,
  timestampScale: 0x2ad7b1,
  duration: 0x4489,
  tracks: 0x1654ae6b,
  trackEntry: 0xae,
  codecId: 0x86,
  video: 0xe0,
  pixelWidth: 0xb0,
  pixelHeight: 0xba,
  alphaMode: 0x53c0,
  cluster: 0x1f43b675,
  clusterTimestamp: 0xe7,
  simpleBlock: 0xa3,
  blockGroup: 0xa0,
  block: 0xa1,
  blockAdditions: 0x75a1,
} as const;

/** Those that hold others. */
const masters = new Set<number>([
  id.ebml,
  id.segment,
  id.info,
  id.tracks,
  id.trackEntry,
  id.video,
  id.cluster,
  id.blockGroup,
]);

export function readWebm(bytes: Uint8Array): WebmFilm {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const found = { docType: '', codec: '', widthPx: 0, heightPx: 0, alphaMode: 0 };
  let scaleNs = 1e6;
  let duration = 0;
  let clusterAt = 0;
  let framesWithAlpha = 0;
  const timestamps: number[] = [];

  const textAt = (from: number, to: number): string =>
    Buffer.from(bytes.subarray(from, to)).toString('latin1');
  const wholeAt = (from: number, to: number): number =>
    bytes.subarray(from, to).reduce((value, byte) => value * 256 + byte, 0);
  const floatAt = (from: number, to: number): number =>
    to - from === 4 ? view.getFloat32(from) : view.getFloat64(from);
  const blockAt = (from: number): void => {
    // Track number in one byte here, then the time from the cluster's.
    timestamps.push(clusterAt + view.getInt16(from + 1));
  };

  const take = (element: number, from: number, to: number): void => {
    switch (element) {
      case id.docType:
        found.docType = textAt(from, to);
        return;
      case id.codecId:
        found.codec = textAt(from, to);
        return;
      case id.pixelWidth:
        found.widthPx = wholeAt(from, to);
        return;
      case id.pixelHeight:
        found.heightPx = wholeAt(from, to);
        return;
      case id.alphaMode:
        found.alphaMode = wholeAt(from, to);
        return;
      case id.timestampScale:
        scaleNs = wholeAt(from, to);
        return;
      case id.duration:
        duration = floatAt(from, to);
        return;
      case id.clusterTimestamp:
        clusterAt = wholeAt(from, to);
        return;
      case id.simpleBlock:
      case id.block:
        blockAt(from);
        return;
      case id.blockAdditions:
        framesWithAlpha += 1;
        return;
      default:
    }
  };

  const walk = (from: number, to: number): void => {
    let at = from;
    while (at < to) {
      const idLength = lengthOf(bytes[at] ?? 0);
      const element = wholeAt(at, at + idLength);
      const sizeAt = at + idLength;
      const sizeLength = lengthOf(bytes[sizeAt] ?? 0);
      const size = wholeAt(sizeAt, sizeAt + sizeLength) - 2 ** (7 * sizeLength);
      const isUnknown = size === 2 ** (7 * sizeLength) - 1;
      const contentAt = sizeAt + sizeLength;
      const end = isUnknown ? to : contentAt + size;
      if (end > to) throw new Error(`An element at ${String(at)} reaches beyond its parent`);
      if (masters.has(element)) walk(contentAt, end);
      else take(element, contentAt, end);
      at = end;
    }
  };
  walk(0, bytes.length);
  const toMs = scaleNs / 1e6;
  return {
    ...found,
    durationS: (duration * toMs) / 1000,
    timestampsMs: timestamps.map((timestamp) => timestamp * toMs),
    framesWithAlpha,
  };
}

/** Of a number whose leading zero bits say how long it is. */
function lengthOf(firstByte: number): number {
  return Math.clz32(firstByte) - 24 + 1;
}
