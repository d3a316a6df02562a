import type { StreamBatch, StreamFault } from '../../shared-lib/amplifier/amplifier-stream-decoder.ts';
import { countSamples } from '../../shared-lib/signal/sample-block.ts';
import type { ReaderReport } from './reader-protocol.ts';

export interface QueueLimits {
  /** Reports with samples that may wait for main; beyond it the newest samples are dropped. */
  readonly waitingBytes: number;
  /** Raw bytes while listening, which nobody measures with. */
  readonly heardBytes: number;
}

/** 64 MiB are some three minutes at 100 000 samples a second. */
export const queueLimits: QueueLimits = { waitingBytes: 64 * 1024 ** 2, heardBytes: 1024 ** 2 };

/** Beside its samples or bytes, a message costs about this much. */
const MESSAGE_BYTES = 200;
/** A line that loses every other sample has more in its gaps than in its counts. */
const GAP_BYTES = 40;

export interface ReportQueue {
  acknowledge(takenBytes: number): void;
  /**
   * Hands a batch over, or drops its samples where too much waits. Once there is room again, what was dropped is reported
   * as one fault, and `breakSegment` is called so that nothing is joined across it.
   */
  data(openId: number, batch: StreamBatch | null, breakSegment: () => void): void;
  /** The port is gone: what was dropped of it is reported now, however much waits. */
  finish(openId: number): void;
  heard(openId: number, bytes: Uint8Array, arrivalUs: number): void;
  /** Beyond half of what may wait: whoever holds memory that is not measured lets go of it. */
  isCrowded(): boolean;
}

interface Dropped {
  samples: number;
  /** Where the first of them would have been. */
  segment: number;
  slot: number | null;
  faults: Map<string, StreamFault>;
  standingFlags: readonly string[];
  lastBadLine: string | null;
}

/** What the reader has handed over and main has not yet taken, kept within limits. */
export function createReportQueue(post: (report: ReaderReport) => void, limits: QueueLimits): ReportQueue {
  let handedOverBytes = 0;
  let takenBytes = 0;
  let dropped: Dropped | null = null;

  const waiting = (): number => handedOverBytes - takenBytes;
  const isCrowded = (): boolean => waiting() > limits.waitingBytes / 2;

  const postData = (openId: number, batch: StreamBatch): void => {
    handedOverBytes += sizeOf(batch);
    post({ type: 'data', openId, ...batch, handedOverBytes });
  };

  const drop = ({ blocks, faults, standingFlags, lastBadLine }: StreamBatch): void => {
    const [first] = blocks;
    dropped ??= {
      samples: 0,
      segment: first?.segment ?? faults[0]?.segment ?? 0,
      slot: first?.firstSlot ?? null,
      faults: new Map(),
      standingFlags,
      lastBadLine: null,
    };
    for (const block of blocks) dropped.samples += countSamples(block);
    for (const fault of faults) {
      const key = `${fault.kind} ${fault.detail ?? ''}`;
      const before = dropped.faults.get(key);
      dropped.faults.set(key, before ? { ...before, count: before.count + fault.count } : fault);
    }
    dropped.standingFlags = standingFlags;
    dropped.lastBadLine = lastBadLine ?? dropped.lastBadLine;
  };

  const postDropped = (openId: number): void => {
    if (!dropped) return;
    const { samples, segment, slot, faults, standingFlags, lastBadLine } = dropped;
    dropped = null;
    postData(openId, {
      blocks: [],
      faults: [...faults.values(), { kind: 'queueOverflow', segment, slot, count: samples }],
      standingFlags,
      lastBadLine,
    });
  };

  return {
    acknowledge(taken) {
      takenBytes = taken;
    },
    data(openId, batch, breakSegment) {
      if (batch && (dropped || waiting() > limits.waitingBytes)) drop(batch);
      else if (batch) postData(openId, batch);
      // Not at the limit itself: around it each report would end a segment.
      if (!dropped || isCrowded()) return;
      postDropped(openId);
      breakSegment();
    },
    finish: postDropped,
    heard(openId, bytes, arrivalUs) {
      if (waiting() > limits.heardBytes) return;
      handedOverBytes += bytes.length + MESSAGE_BYTES;
      post({ type: 'heard', openId, bytes, arrivalUs, handedOverBytes });
    },
    isCrowded,
  };
}

function sizeOf({ blocks, faults, standingFlags }: StreamBatch): number {
  const blockBytes = blocks.reduce(
    (sum, { counts, gaps }) => sum + counts.byteLength + gaps.length * GAP_BYTES + MESSAGE_BYTES,
    0,
  );
  return blockBytes + (faults.length + standingFlags.length + 1) * MESSAGE_BYTES;
}
