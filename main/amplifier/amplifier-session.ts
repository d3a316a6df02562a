import type { AmplifierProfile, UsbIdentity } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { SerialPortInfo } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { assertNever } from '../../shared-lib/assert-never.ts';
import type { AmplifierStatus } from '../../shared-lib/bench-status.ts';
import type { SampleBlock } from '../../shared-lib/signal/sample-block.ts';
import { clockSourceOf } from '../../shared-lib/signal/sample-clock.ts';
import type { SimulatedPull } from '../../shared-lib/simulation/simulated-bench.ts';
import type { FaultKind } from '../../shared-lib/trial/trial-model.ts';
import type { Clock } from '../platform/clock.ts';
import type { Logger } from '../platform/logger.ts';
import type { ReaderHandle } from '../platform/platform.ts';
import { createCaptureFollower } from './capture-follower.ts';
import { faultSentence } from './fault-sentences.ts';
import { createPendingRequests } from './pending-requests.ts';
import { createRateWatch } from './rate-watch.ts';
import type { PortSource, ReaderReport } from './reader-protocol.ts';
import { createReaderSupervisor, type ReaderDeath } from './reader-supervisor.ts';
import { createSilenceWatch } from './silence-watch.ts';
import { createSleepWatch } from './sleep-watch.ts';
import { noCounters, countFault } from './stream-counters.ts';
import { createStuckWatch } from './stuck-watch.ts';

const RECONNECT_INTERVAL_US = 500_000;
const UNREADABLE_MEMORY_US = 2_000_000;
/** A tick this late means that this process was held up, so that silence cannot be told from unread reports. */
const LATE_TICK_US = 150_000;
/** For the text that stops an amplifier to get out before the reader is ended. */
const CLOSING_PATIENCE_MS = 500;

export interface AmplifierTarget {
  readonly source: PortSource;
  readonly profile: AmplifierProfile;
  /** The kept amplifier that this is; null where it is none. */
  readonly amplifier: { readonly id: string; readonly name: string } | null;
}

/** `slot` is on the live segment's axis; null where a fault has no place on it. */
export interface LiveFault {
  readonly kind: FaultKind;
  readonly segment: number;
  readonly slot: number | null;
  readonly count: number;
  readonly sentence: string;
}

/** Why no more samples come: the connection ended, or the process that reads it. */
export type LossReason = 'disconnect' | 'readerLost';

export interface AmplifierListeners {
  onBlock(block: SampleBlock): void;
  onFault(fault: LiveFault): void;
  onChange(): void;
  /** Called before `onChange`, also where the connection was ended on request. */
  onLost(reason: LossReason): void;
  /** The port that was opened, and the device that it said it is; null where it does not say. */
  onIdentified(path: string, usb: UsbIdentity | null): void;
  /** Raw bytes while listening; `arrivalUs`: monotonic time at which the last of them came. */
  onHeard(bytes: Uint8Array, arrivalUs: number): void;
  /** Nothing is heard any more. `message`: what the port said; null where it was ended on request. */
  onListeningEnded(message: string | null): void;
}

export interface AmplifierSession {
  listPorts(): Promise<SerialPortInfo[]>;
  /** Refuses at once, before anything changes, while another connection is being opened. */
  connect(target: AmplifierTarget): Promise<void>;
  /** Ends a connection, or listening. */
  disconnect(): Promise<void>;
  /** Ends the connection and reports raw bytes from now on, 8 data bits, no parity; resolves once the port is open. */
  listen(path: string, baudRate: number): Promise<void>;
  /** Errors: AppError 'amplifier-not-connected'. */
  sendText(text: string): void;
  /** Errors: AppError 'amplifier-not-connected', 'invalid-state', 'storage-failed'. */
  startCapture(filePath: string): Promise<void>;
  /** Resolves with the length of the file. Errors: AppError 'invalid-state', 'storage-failed'. */
  stopCapture(): Promise<number>;
  /** A capture file with the bytes of the last minute; null where no port has been open yet. */
  takeRecentBytes(): Promise<Uint8Array | null>;
  /** Faults that were raised before and hold still; a trial that begins now begins under them. */
  standingFaults(): LiveFault[];
  pull(pull: SimulatedPull): void;
  push(torqueNm: number, durationS: number): void;
  status(): AmplifierStatus;
  target(): AmplifierTarget | null;
  /** To be called some twenty times a second: silence, sleep, the measured rate, reconnection. */
  tick(): void;
  /** Lets go of the amplifier and ends the reader. */
  close(): Promise<void>;
}

type Link = AmplifierStatus['link'];

/** Owns the connection to the amplifier. Retry lives here and nowhere else. */
export function createAmplifierSession(
  platform: { startReader(): ReaderHandle; clock: Clock; log: Logger },
  listeners: AmplifierListeners,
): AmplifierSession {
  const { clock, log } = platform;
  let isClosing = false;
  let target: AmplifierTarget | null = null;
  let isListening = false;
  let link: Link = 'disconnected';
  let problem: AmplifierStatus['problem'] = null;
  let counters = noCounters;
  let lastBadLine: string | null = null;
  let openId = 0;
  let segmentBase = 0;
  let newestSegment = 0;
  let lastUnreadableUs = -Infinity;
  let lastTickUs = clock.monotonicUs();
  let nextAttemptUs = 0;
  let pendingOpen: { resolve(): void; reject(error: Error): void } | null = null;
  let onReaderClosed: (() => void) | null = null;
  const lists = createPendingRequests<SerialPortInfo[]>();
  const recentBytes = createPendingRequests<Uint8Array | null>();
  const rate = createRateWatch();
  const silence = createSilenceWatch();
  const sleep = createSleepWatch();
  const stuck = createStuckWatch();
  const reader = createReaderSupervisor(platform, {
    onReport: (report) => onReport(report),
    onDeath: (death) => onReaderDeath(death),
  });
  const capture = createCaptureFollower(reader.send);

  const portName = (): string => {
    switch (target?.source.kind) {
      case 'serial':
        return target.source.path;
      case 'replayed':
        return 'the replayed capture';
      default:
        return 'the simulated bench';
    }
  };

  const faultOf = (
    kind: FaultKind,
    count: number,
    place: { segment?: number; slot?: number | null; detail?: string | undefined } = {},
  ): LiveFault => ({
    kind,
    segment: place.segment ?? newestSegment,
    slot: place.slot ?? null,
    count,
    sentence: faultSentence(kind, count, portName(), place.detail ?? null),
  });

  const raise = (...fault: Parameters<typeof faultOf>): void => {
    listeners.onFault(faultOf(...fault));
  };

  const setLink = (next: Link, nextProblem: AmplifierStatus['problem'] = null): void => {
    link = next;
    problem = nextProblem;
    listeners.onChange();
  };

  const lose = (reason: LossReason, next: Link, nextProblem: AmplifierStatus['problem']): void => {
    listeners.onLost(reason);
    setLink(next, nextProblem);
  };

  const attempt = (): void => {
    if (!target) return;
    openId += 1;
    nextAttemptUs = clock.monotonicUs() + RECONNECT_INTERVAL_US;
    reader.send({ type: 'open', openId, source: target.source, profile: target.profile });
  };

  const awaitOpening = (): Promise<void> =>
    new Promise((resolve, reject) => {
      pendingOpen = { resolve, reject };
    });

  const settleOpening = (error: Error | null): void => {
    const settled = pendingOpen;
    pendingOpen = null;
    if (error) settled?.reject(error);
    else settled?.resolve();
  };

  const endListening = (message: string | null): void => {
    if (!isListening) return;
    isListening = false;
    listeners.onListeningEnded(message);
  };

  const refuseWhileOpening = (): void => {
    if (!pendingOpen) return;
    throw new AppError(
      'invalid-state',
      'A connection is being opened already; wait until it stands or fails.',
    );
  };

  const onReaderDeath = ({ exitCode, restartAtUs, deathsLately }: ReaderDeath): void => {
    const lost = new AppError(
      'reader-failed',
      'The process that reads the amplifier ended. What was stored is safe; it is being started again.',
      { exitCode },
    );
    settleOpening(lost);
    lists.rejectAll(lost);
    recentBytes.rejectAll(lost);
    capture.lost();
    onReaderClosed?.();
    if (isClosing) return;
    log.error('The reader process ended', { code: lost.code, count: exitCode ?? -1 });
    endListening(lost.message);
    if (!target) return;
    raise('readerLost', 1);
    if (target.source.kind === 'replayed') {
      target = null;
      lose('readerLost', 'failed', {
        code: lost.code,
        sentence: 'The process that played the capture ended.',
      });
      return;
    }
    const nowUs = clock.monotonicUs();
    const sentence =
      restartAtUs > nowUs
        ? `The process that reads the amplifier ended ${deathsLately} times in 10 s. What was stored is safe, but nothing is recorded; it is started again every 5 s. Unplug the amplifier and plug it in again; if that does not help, restart the program.`
        : lost.message;
    lose('readerLost', 'reconnecting', { code: lost.code, sentence });
    if (restartAtUs > nowUs) nextAttemptUs = restartAtUs;
    else attempt();
  };

  const onOpened = ({ path, usb }: Extract<ReaderReport, { type: 'opened' }>): void => {
    if (!target) {
      settleOpening(null);
      return;
    }
    if (target.source.kind === 'serial' && path !== null) {
      target = { ...target, source: { kind: 'serial', path, usb: usb ?? target.source.usb } };
    }
    segmentBase = newestSegment;
    rate.restart(target.profile.nominalRateHz);
    silence.restart(target.profile.nominalRateHz, clock.monotonicUs());
    stuck.restart();
    setLink('connected');
    settleOpening(null);
    if (path !== null) listeners.onIdentified(path, usb);
  };

  const onOpenFailed = (report: Extract<ReaderReport, { type: 'openFailed' }>): void => {
    const failed = new AppError(report.code, report.message, report.details);
    if (link === 'reconnecting') {
      // That the port is missing is what reconnecting waits for; anything else stands in its way and is said.
      const isMissing = failed.code === 'port-not-found' && failed.details['otherDevice'] === undefined;
      if (!isMissing && problem?.sentence !== failed.message) {
        setLink('reconnecting', { code: failed.code, sentence: failed.message });
      }
      return;
    }
    if (target) setLink('failed', { code: failed.code, sentence: failed.message });
    settleOpening(failed);
    isListening = false;
  };

  const onClosed = (message: string | null): void => {
    if (message === null) return;
    endListening(message);
    if (!target) return;
    if (target.source.kind === 'replayed') {
      target = null;
      lose('disconnect', 'disconnected', { code: 'connection-lost', sentence: message });
      return;
    }
    raise('disconnect', 1);
    nextAttemptUs = clock.monotonicUs() + RECONNECT_INTERVAL_US;
    lose('disconnect', 'reconnecting', {
      code: 'connection-lost',
      sentence: `The amplifier was lost (${message}) What came before is kept. Plug it in again: the program reconnects by itself.`,
    });
  };

  const onBlock = (block: SampleBlock): void => {
    const segment = segmentBase + block.segment;
    if (segment !== newestSegment) {
      newestSegment = segment;
      rate.forgetMarks();
      stuck.restart();
    }
    sleep.arrived(block.arrivalUs);
    const silenceMs = silence.arrived(block.arrivalUs);
    if (silenceMs !== null) raise('silenceEnded', silenceMs, { slot: block.firstSlot });
    if (link === 'silent') setLink('connected');
    rate.receive(block);
    stuck.receive(block);
    counters = { ...counters, samples: counters.samples + block.counts.length };
    listeners.onBlock({ ...block, segment });
  };

  const onData = (report: Extract<ReaderReport, { type: 'data' }>): void => {
    for (const block of report.blocks) onBlock(block);
    if (report.lastBadLine !== null) {
      lastBadLine = report.lastBadLine;
      lastUnreadableUs = clock.monotonicUs();
    }
    for (const { kind, count, segment, slot, detail } of report.faults) {
      counters = countFault(counters, kind, count);
      if (kind === 'stuck') stuck.found(slot);
      raise(kind, count, { segment: segmentBase + segment, slot, detail });
    }
  };

  const onReport = (report: ReaderReport): void => {
    switch (report.type) {
      case 'ports':
        lists.resolve(report.requestId, [...report.ports]);
        return;
      case 'portsFailed':
        lists.reject(
          report.requestId,
          new AppError('port-failed', `The ports could not be listed: ${report.message}`),
        );
        return;
      case 'recentBytes':
        recentBytes.resolve(report.requestId, report.capture);
        return;
      case 'captureChanged':
        if (report.error !== null)
          log.error('A capture ended', { code: 'storage-failed', cause: report.error });
        capture.changed(report);
        listeners.onChange();
        return;
      case 'closed':
        onReaderClosed?.();
        break;
      default:
    }
    if (report.openId !== openId) return;
    switch (report.type) {
      case 'opened':
        onOpened(report);
        return;
      case 'openFailed':
        onOpenFailed(report);
        return;
      case 'closed':
        onClosed(report.message);
        return;
      case 'heard':
        if (isListening) listeners.onHeard(report.bytes, report.arrivalUs);
        return;
      case 'data':
        onData(report);
        return;
      default:
        assertNever(report, 'A report of the reader without a rule');
    }
  };

  const watchSilence = (nowUs: number): void => {
    if (!target || (link !== 'connected' && link !== 'silent') || !silence.check(nowUs)) return;
    if (link === 'connected') raise('silence', 1);
    const sentence =
      nowUs - lastUnreadableUs <= UNREADABLE_MEMORY_US
        ? `Lines come in, but none can be read as "${target.profile.name}". Nothing is recorded meanwhile. Choose another profile or baud rate in Setup, where the newest line is shown.`
        : faultSentence('silence', 1, 'the amplifier');
    if (problem?.sentence !== sentence) setLink('silent', { code: 'amplifier-silent', sentence });
  };

  const watchSleep = (nowUs: number): void => {
    const sleptS = sleep.tick(nowUs, clock.now().getTime());
    if (sleptS === null || !target || link === 'failed') return;
    raise('computerSlept', sleptS);
    reader.sendIfRunning({ type: 'breakSegment' });
  };

  const disconnect = (): void => {
    const wasConnected = target !== null;
    target = null;
    openId += 1;
    settleOpening(new AppError('amplifier-not-connected', 'The connection was ended before it stood.'));
    endListening(null);
    reader.sendIfRunning({ type: 'close' });
    if (wasConnected) listeners.onLost('disconnect');
    setLink('disconnected');
  };

  return {
    listPorts: () => lists.ask((requestId) => reader.send({ type: 'listPorts', requestId })),

    connect(newTarget) {
      refuseWhileOpening();
      endListening(null);
      target = newTarget;
      counters = noCounters;
      lastBadLine = null;
      const connection = awaitOpening();
      setLink('connecting');
      attempt();
      return connection;
    },

    disconnect() {
      disconnect();
      return Promise.resolve();
    },

    listen(path, baudRate) {
      refuseWhileOpening();
      if (target) disconnect();
      isListening = true;
      openId += 1;
      const opening = awaitOpening();
      reader.send({ type: 'listen', openId, path, baudRate });
      return opening;
    },

    sendText(text) {
      if (!target || (link !== 'connected' && link !== 'silent')) {
        throw new AppError(
          'amplifier-not-connected',
          'No amplifier is connected, so nothing was sent. Connect it in Setup first.',
        );
      }
      reader.sendIfRunning({ type: 'sendText', text });
    },

    startCapture(filePath) {
      if (!target || target.source.kind === 'replayed' || (link !== 'connected' && link !== 'silent')) {
        throw new AppError(
          'amplifier-not-connected',
          'No amplifier is connected, so there is nothing to capture. Connect it in Setup first.',
        );
      }
      return capture.start(filePath, {
        format: 'serial-capture',
        version: 1,
        startedAt: clock.now().toISOString(),
        path: portName(),
        profile: target.profile,
      });
    },
    stopCapture: () => capture.stop(),
    takeRecentBytes: () =>
      reader.isRunning()
        ? recentBytes.ask((requestId) => reader.send({ type: 'takeRecentBytes', requestId }))
        : Promise.resolve(null),

    standingFaults() {
      const percentOff = rate.percentOff();
      return [
        ...(percentOff === null ? [] : [faultOf('rateOffNominal', percentOff)]),
        ...(stuck.isStuck() ? [faultOf('stuck', 1)] : []),
        ...(link === 'silent' ? [faultOf('silence', 1)] : []),
      ];
    },

    pull(pull) {
      reader.sendIfRunning({ type: 'pull', pull });
    },
    push(torqueNm, durationS) {
      reader.sendIfRunning({ type: 'push', torqueNm, durationS });
    },

    status: () => ({
      source: target?.source.kind ?? 'none',
      link,
      amplifierId: target?.amplifier?.id ?? null,
      amplifierName: target?.amplifier?.name ?? null,
      portPath: target?.source.kind === 'serial' ? target.source.path : null,
      profileName: target?.profile.name ?? null,
      nominalRateHz: target?.profile.nominalRateHz ?? null,
      measuredRateHz: rate.fit()?.sampleRateHz ?? null,
      rateResidualUs: rate.fit()?.residualUs ?? null,
      clockSource: target ? clockSourceOf(target.profile) : null,
      counters,
      lastBadLine,
      capture: capture.status(),
      problem: problem ?? capture.problem(),
    }),
    target: () => target,

    tick() {
      const nowUs = clock.monotonicUs();
      const isLate = nowUs - lastTickUs > LATE_TICK_US;
      lastTickUs = nowUs;
      reader.acknowledge();
      watchSleep(nowUs);
      if (!isLate) watchSilence(nowUs);
      const percentOff = target ? rate.check(nowUs) : null;
      if (percentOff !== null) raise('rateOffNominal', percentOff);
      if (link === 'reconnecting' && nowUs >= nextAttemptUs) attempt();
    },

    async close() {
      isClosing = true;
      const hasStopText = (target?.profile.textsToSend.stop ?? null) !== null;
      target = null;
      // Reports that are still on their way belong to nobody any more.
      openId += 1;
      if (hasStopText && reader.isRunning()) {
        reader.sendIfRunning({ type: 'close' });
        await new Promise<void>((resolve) => {
          onReaderClosed = resolve;
          setTimeout(resolve, CLOSING_PATIENCE_MS);
        });
      }
      reader.kill();
    },
  };
}
