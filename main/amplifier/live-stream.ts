import type { AmplifierStatus } from '../../shared-lib/bench-status.ts';
import { countSamples, type SampleBlock } from '../../shared-lib/signal/sample-block.ts';
import type { FaultKind } from '../../shared-lib/trial/trial-model.ts';
import type { Clock } from '../platform/clock.ts';
import { createRateWatch } from './rate-watch.ts';
import type { ReaderReport } from './reader-protocol.ts';
import { createSilenceWatch } from './silence-watch.ts';
import { countFault, noCounters } from './stream-counters.ts';
import { createStuckWatch } from './stuck-watch.ts';

const UNREADABLE_MEMORY_US = 2_000_000;

/** `segment` and `slot` as in `LiveFault`; the newest segment where none is given. */
export interface StreamFaultPlace {
  readonly segment?: number;
  readonly slot?: number | null;
  readonly detail?: string | undefined;
}

export interface LiveStream {
  /** Another amplifier: what was counted of the one before is forgotten. */
  forgetCounters(): void;
  /** A port was opened: its segments follow those before. */
  opened(nominalRateHz: number): void;
  receive(report: Extract<ReaderReport, { type: 'data' }>): void;
  newestSegment(): number;
  isSilent(nowUs: number): boolean;
  /** Whether lines came lately that could not be read. */
  isUnreadable(nowUs: number): boolean;
  watchRate(nowUs: number): void;
  /** Of what the stream itself shows: faults told before that hold still. */
  standing(): { readonly kind: FaultKind; readonly count: number; readonly detail?: string }[];
  status(): Pick<AmplifierStatus, 'measuredRateHz' | 'rateResidualUs' | 'counters' | 'lastBadLine'>;
}

/** What comes from the amplifier, watched: numbered on through all connections, counted, timed. */
export function createLiveStream(
  clock: Clock,
  listeners: {
    onBlock(block: SampleBlock): void;
    onFault(kind: FaultKind, count: number, place?: StreamFaultPlace): void;
  },
): LiveStream {
  let counters = noCounters;
  let lastBadLine: string | null = null;
  let lastUnreadableUs = -Infinity;
  let standingFlags: readonly string[] = [];
  let segmentBase = 0;
  let newestSegment = 0;
  const rate = createRateWatch();
  const silence = createSilenceWatch();
  const stuck = createStuckWatch();

  const receiveBlock = (block: SampleBlock): void => {
    const segment = segmentBase + block.segment;
    if (segment !== newestSegment) {
      newestSegment = segment;
      rate.forgetMarks();
      stuck.restart();
    }
    const silenceMs = silence.arrived(block.arrivalUs);
    if (silenceMs !== null) listeners.onFault('silenceEnded', silenceMs, { slot: block.firstSlot });
    rate.receive(block);
    stuck.receive(block);
    counters = { ...counters, samples: counters.samples + countSamples(block) };
    listeners.onBlock({ ...block, segment });
  };

  return {
    forgetCounters() {
      counters = noCounters;
      lastBadLine = null;
    },
    opened(nominalRateHz) {
      segmentBase = newestSegment;
      standingFlags = [];
      rate.restart(nominalRateHz);
      silence.restart(nominalRateHz, clock.monotonicUs());
      stuck.restart();
    },
    receive(report) {
      if (report.lastBadLine !== null) {
        lastBadLine = report.lastBadLine;
        lastUnreadableUs = clock.monotonicUs();
      }
      // Before the samples they belong to: these may end a trial, whose record the faults would then miss.
      for (const { kind, count, segment, slot, detail } of report.faults) {
        counters = countFault(counters, kind, count);
        listeners.onFault(kind, count, { segment: segmentBase + segment, slot, detail });
      }
      standingFlags = report.standingFlags;
      for (const block of report.blocks) receiveBlock(block);
      for (const { kind, slot } of report.faults) if (kind === 'stuck') stuck.found(slot);
    },
    newestSegment: () => newestSegment,
    isSilent: (nowUs) => silence.check(nowUs),
    isUnreadable: (nowUs) => nowUs - lastUnreadableUs <= UNREADABLE_MEMORY_US,
    watchRate(nowUs) {
      const percentOff = rate.check(nowUs);
      if (percentOff !== null) listeners.onFault('rateOffNominal', percentOff);
    },
    standing() {
      const percentOff = rate.percentOff();
      return [
        ...(percentOff === null ? [] : [{ kind: 'rateOffNominal' as const, count: percentOff }]),
        ...(stuck.isStuck() ? [{ kind: 'stuck' as const, count: 1 }] : []),
        ...standingFlags.map((detail) => ({ kind: 'deviceFlag' as const, count: 1, detail })),
      ];
    },
    status: () => ({
      measuredRateHz: rate.fit()?.sampleRateHz ?? null,
      rateResidualUs: rate.fit()?.residualUs ?? null,
      counters,
      lastBadLine,
    }),
  };
}
