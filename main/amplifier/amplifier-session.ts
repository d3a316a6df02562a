import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { SerialPortInfo } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { assertNever } from '../../shared-lib/assert-never.ts';
import type { AmplifierStatus } from '../../shared-lib/bench-status.ts';
import { fitSampleClock } from '../../shared-lib/signal/fit-sample-clock.ts';
import type { SampleBlock } from '../../shared-lib/signal/sample-block.ts';
import { clockSourceOf } from '../../shared-lib/signal/sample-clock.ts';
import type { SimulatedPull } from '../../shared-lib/simulation/simulated-bench.ts';
import type { FaultKind } from '../../shared-lib/trial/trial-model.ts';
import type { Clock } from '../platform/clock.ts';
import type { Logger } from '../platform/logger.ts';
import type { ReaderHandle } from '../platform/platform.ts';
import { faultSentence } from './fault-sentences.ts';
import type { PortSource, ReaderReport } from './reader-protocol.ts';

const RECONNECT_INTERVAL_US = 500_000;
const RATE_WINDOW_US = 5_000_000;
const UNREADABLE_MEMORY_US = 2_000_000;
/** Off nominal by more than this is a fault: times would be wrong by as much. */
const RATE_TOLERANCE = 0.02;
/** A tick this late means that this process was held up, so that silence cannot be told from unread reports. */
const LATE_TICK_US = 150_000;

export interface AmplifierTarget {
  readonly source: PortSource;
  readonly profile: AmplifierProfile;
}

/** `slot` is on the live segment's axis; null where a fault has no place on it. */
export interface LiveFault {
  readonly kind: FaultKind;
  readonly segment: number;
  readonly slot: number | null;
  readonly count: number;
  readonly sentence: string;
}

export interface AmplifierListeners {
  onBlock(block: SampleBlock): void;
  onFault(fault: LiveFault): void;
  onChange(): void;
}

export interface AmplifierSession {
  listPorts(): Promise<SerialPortInfo[]>;
  /** Refuses at once, before anything changes, while another connection is being opened. */
  connect(target: AmplifierTarget): Promise<void>;
  disconnect(): Promise<void>;
  pull(pull: SimulatedPull): void;
  push(torqueNm: number, durationS: number): void;
  status(): AmplifierStatus;
  target(): AmplifierTarget | null;
  /** To be called some twenty times a second: silence, the measured rate, reconnection. */
  tick(): void;
  close(): void;
}

type Link = AmplifierStatus['link'];

const noCounters = {
  samples: 0,
  badLines: 0,
  badChecksums: 0,
  lostSamples: 0,
  rails: 0,
  duplicateLines: 0,
  beyondRails: 0,
};

/** Owns the reader process and the connection to the amplifier. Retry lives here and nowhere else. */
export function createAmplifierSession(
  platform: { startReader(): ReaderHandle; clock: Clock; log: Logger },
  listeners: AmplifierListeners,
): AmplifierSession {
  const { clock, log } = platform;
  let reader: ReaderHandle | null = null;
  let isClosing = false;
  let target: AmplifierTarget | null = null;
  let link: Link = 'disconnected';
  let problem: AmplifierStatus['problem'] = null;
  let counters = { ...noCounters };
  let lastBadLine: string | null = null;
  let openId = 0;
  let segmentBase = 0;
  let newestSegment = 0;
  let lastArrivalUs = 0;
  let lastUnreadableUs = -Infinity;
  let lastTickUs = clock.monotonicUs();
  let lastAttemptUs = 0;
  let marks: { slot: number; arrivalUs: number }[] = [];
  let measuredRateHz: number | null = null;
  let isRateFaultKnown = false;
  let pendingOpen: { resolve(): void; reject(error: Error): void } | null = null;
  let nextRequestId = 1;
  const pendingLists = new Map<
    number,
    { resolve(ports: SerialPortInfo[]): void; reject(error: Error): void }
  >();

  const raise = (kind: FaultKind, segment: number, slot: number | null, count: number): void => {
    const portName = target?.source.kind === 'serial' ? target.source.path : 'the simulated bench';
    listeners.onFault({ kind, segment, slot, count, sentence: faultSentence(kind, count, portName) });
  };

  const setLink = (next: Link, nextProblem: AmplifierStatus['problem'] = null): void => {
    link = next;
    problem = nextProblem;
    listeners.onChange();
  };

  const forgetRate = (): void => {
    marks = [];
    measuredRateHz = null;
    isRateFaultKnown = false;
  };

  const attempt = (): void => {
    if (!target) return;
    openId += 1;
    lastAttemptUs = clock.monotonicUs();
    runningReader().send({ type: 'open', openId, source: target.source, profile: target.profile });
  };

  const runningReader = (): ReaderHandle => {
    if (reader) return reader;
    const started = platform.startReader();
    started.onReport(onReport);
    started.onExit((exitCode) => {
      if (reader !== started) return;
      reader = null;
      onReaderExit(exitCode);
    });
    reader = started;
    return started;
  };

  const onReaderExit = (exitCode: number | null): void => {
    const lost = new AppError(
      'reader-failed',
      'The process that reads the amplifier ended. What was stored is safe; it is being started again.',
      { exitCode },
    );
    pendingOpen?.reject(lost);
    pendingOpen = null;
    for (const list of pendingLists.values()) list.reject(lost);
    pendingLists.clear();
    if (isClosing) return;
    log.error('The reader process ended', { code: 'reader-failed', count: exitCode ?? -1 });
    if (!target) return;
    raise('readerLost', newestSegment, null, 1);
    setLink('reconnecting', { code: lost.code, sentence: lost.message });
  };

  const onBlock = (block: SampleBlock): void => {
    const segment = segmentBase + block.segment;
    if (segment !== newestSegment) {
      newestSegment = segment;
      forgetRate();
    }
    lastArrivalUs = block.arrivalUs;
    counters.samples += block.counts.length;
    if (block.counts.length > 0) {
      marks.push({ slot: block.firstSlot + block.counts.length - 1, arrivalUs: block.arrivalUs });
    }
    listeners.onBlock({ ...block, segment });
  };

  const onReport = (report: ReaderReport): void => {
    switch (report.type) {
      case 'ports':
        pendingLists.get(report.requestId)?.resolve([...report.ports]);
        pendingLists.delete(report.requestId);
        return;
      case 'portsFailed':
        pendingLists
          .get(report.requestId)
          ?.reject(new AppError('port-failed', `The ports could not be listed: ${report.message}`));
        pendingLists.delete(report.requestId);
        return;
      default:
    }
    if (report.openId !== openId) return;
    switch (report.type) {
      case 'opened':
        segmentBase = newestSegment;
        lastArrivalUs = clock.monotonicUs();
        forgetRate();
        setLink('connected');
        pendingOpen?.resolve();
        pendingOpen = null;
        return;
      case 'openFailed':
        if (link === 'reconnecting') return;
        setLink('failed', { code: report.code, sentence: report.message });
        pendingOpen?.reject(new AppError(report.code, report.message));
        pendingOpen = null;
        return;
      case 'closed':
        if (report.message === null || !target) return;
        raise('disconnect', newestSegment, null, 1);
        setLink('reconnecting', {
          code: 'connection-lost',
          sentence: `The amplifier was lost (${report.message}) What came before is kept. Plug it in again: the program reconnects by itself.`,
        });
        lastAttemptUs = clock.monotonicUs();
        return;
      case 'data':
        for (const block of report.blocks) onBlock(block);
        if (report.lastBadLine !== null) {
          lastBadLine = report.lastBadLine;
          lastUnreadableUs = clock.monotonicUs();
        }
        for (const fault of report.faults) {
          if (fault.kind === 'badLine') counters.badLines += fault.count;
          else if (fault.kind === 'badChecksum') counters.badChecksums += fault.count;
          else if (fault.kind === 'sequenceGap') counters.lostSamples += fault.count;
          else if (fault.kind === 'rail') counters.rails += fault.count;
          raise(fault.kind, segmentBase + fault.segment, fault.slot, fault.count);
        }
        return;
      default:
        assertNever(report, 'A report of the reader without a rule');
    }
  };

  const watchSilence = (nowUs: number): void => {
    if (!target || (link !== 'connected' && link !== 'silent')) return;
    const limitUs = Math.max(250_000, 5e6 / target.profile.nominalRateHz);
    const isSilent = nowUs - lastArrivalUs > limitUs;
    if (!isSilent) {
      if (link === 'silent') setLink('connected');
      return;
    }
    if (link === 'connected') raise('silence', newestSegment, null, 1);
    const sentence =
      nowUs - lastUnreadableUs <= UNREADABLE_MEMORY_US
        ? `Lines come in, but none can be read as "${target.profile.name}". Nothing is recorded meanwhile. Choose another profile or baud rate in Setup, where the newest line is shown.`
        : faultSentence('silence', 1, 'the amplifier');
    if (problem?.sentence !== sentence) setLink('silent', { code: 'amplifier-silent', sentence });
  };

  const watchRate = (nowUs: number): void => {
    if (!target) return;
    const recent = marks.findIndex((mark) => nowUs - mark.arrivalUs <= RATE_WINDOW_US);
    if (recent > 0) marks.splice(0, recent);
    const first = marks[0];
    const last = marks[marks.length - 1];
    if (!first || !last || last.arrivalUs - first.arrivalUs < 1_000_000) return;
    measuredRateHz = fitSampleClock(marks)?.sampleRateHz ?? null;
    if (
      measuredRateHz === null ||
      isRateFaultKnown ||
      last.arrivalUs - first.arrivalUs < 0.8 * RATE_WINDOW_US
    )
      return;
    const offBy = measuredRateHz / target.profile.nominalRateHz - 1;
    if (Math.abs(offBy) <= RATE_TOLERANCE) return;
    isRateFaultKnown = true;
    raise('rateOffNominal', newestSegment, last.slot, Math.round(Math.abs(offBy) * 100));
  };

  return {
    listPorts: () =>
      new Promise((resolve, reject) => {
        const requestId = nextRequestId;
        nextRequestId += 1;
        pendingLists.set(requestId, { resolve, reject });
        runningReader().send({ type: 'listPorts', requestId });
      }),

    connect(newTarget) {
      if (pendingOpen) {
        throw new AppError(
          'invalid-state',
          'A connection is being opened already; wait until it stands or fails.',
        );
      }
      target = newTarget;
      counters = { ...noCounters };
      lastBadLine = null;
      const connection = new Promise<void>((resolve, reject) => {
        pendingOpen = { resolve, reject };
      });
      setLink('connecting');
      attempt();
      return connection;
    },

    disconnect() {
      target = null;
      openId += 1;
      pendingOpen?.reject(
        new AppError('amplifier-not-connected', 'The connection was ended before it stood.'),
      );
      pendingOpen = null;
      reader?.send({ type: 'close' });
      setLink('disconnected');
      return Promise.resolve();
    },

    pull(pull) {
      reader?.send({ type: 'pull', pull });
    },
    push(torqueNm, durationS) {
      reader?.send({ type: 'push', torqueNm, durationS });
    },

    status: () => ({
      source: target?.source.kind ?? 'none',
      link,
      amplifierId: null,
      amplifierName: null,
      portPath: target?.source.kind === 'serial' ? target.source.path : null,
      profileName: target?.profile.name ?? null,
      nominalRateHz: target?.profile.nominalRateHz ?? null,
      measuredRateHz,
      rateResidualUs: null,
      clockSource: target ? clockSourceOf(target.profile) : null,
      counters: { ...counters },
      lastBadLine,
      capture: null,
      problem,
    }),
    target: () => target,

    tick() {
      const nowUs = clock.monotonicUs();
      const isLate = nowUs - lastTickUs > LATE_TICK_US;
      lastTickUs = nowUs;
      if (!isLate) watchSilence(nowUs);
      watchRate(nowUs);
      if (link === 'reconnecting' && nowUs - lastAttemptUs >= RECONNECT_INTERVAL_US) attempt();
    },

    close() {
      isClosing = true;
      target = null;
      // Reports that are still on their way belong to nobody any more.
      openId += 1;
      reader?.kill();
    },
  };
}
