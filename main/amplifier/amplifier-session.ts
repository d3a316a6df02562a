import { basename } from 'node:path';
import type { SerialPortInfo } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { assertNever } from '../../shared-lib/assert-never.ts';
import type { AmplifierStatus } from '../../shared-lib/bench-status.ts';
import { clockSourceOf } from '../../shared-lib/signal/sample-clock.ts';
import type { SimulatedPull } from '../../shared-lib/simulation/simulated-bench.ts';
import type { FaultKind } from '../../shared-lib/trial/trial-model.ts';
import type { Clock } from '../platform/clock.ts';
import type { Logger } from '../platform/logger.ts';
import type { ReaderHandle } from '../platform/platform.ts';
import { withinLimit } from '../platform/within-limit.ts';
import type { AmplifierListeners, LossReason } from './amplifier-listeners.ts';
import type { AmplifierTarget } from './amplifier-target.ts';
import { createCaptureFollower } from './capture-follower.ts';
import {
  lostSentence,
  portNameOf,
  READER_ENDED,
  readerDeathSentence,
  unreadableSentence,
} from './connection-sentences.ts';
import { faultSentence } from './fault-sentences.ts';
import type { LiveFault } from './live-fault.ts';
import { createLiveStream, type StreamFaultPlace } from './live-stream.ts';
import { createOpening } from './opening.ts';
import type { ReaderReport } from './reader-protocol.ts';
import { createReaderQuestions } from './reader-questions.ts';
import { createReaderSupervisor, type ReaderDeath } from './reader-supervisor.ts';
import { createReconnectSchedule } from './reconnect-schedule.ts';
import { createSleepWatch } from './sleep-watch.ts';

/** A tick this late means that this process was held up, so that silence cannot be told from unread reports. */
const LATE_TICK_US = 150_000;
/** For the text that stops an amplifier to get out before the reader is ended. */
const CLOSING_PATIENCE_MS = 500;
/** For what a capture has not yet written, up to a second of it, to get to the disk. */
const CAPTURE_PATIENCE_MS = 2000;

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
  /** A capture file with the bytes of the last minute. Errors: AppError 'amplifier-not-connected'. */
  takeRecentBytes(): Promise<Uint8Array>;
  /** Faults that were raised before and hold still; a trial that begins now begins under them. */
  standingFaults(): LiveFault[];
  /** Which kept amplifier the present one turned out to be, or what it is called from now on. */
  nameAmplifier(amplifier: AmplifierTarget['amplifier']): void;
  pull(pull: SimulatedPull): void;
  push(torqueNm: number, durationS: number): void;
  /** Simulated bench only: weights on the arm until others are hung. */
  hang(torqueNm: number): void;
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
  let target: AmplifierTarget | null = null;
  let isListening = false;
  let link: Link = 'disconnected';
  let problem: AmplifierStatus['problem'] = null;
  let openId = 0;
  let lastTickUs = clock.monotonicUs();
  const opening = createOpening();
  const reconnecting = createReconnectSchedule(clock);
  const sleep = createSleepWatch();
  const reader = createReaderSupervisor(platform, {
    onReport: (report) => onReport(report),
    onDeath: (death) => onReaderDeath(death),
  });
  const questions = createReaderQuestions(reader);
  const capture = createCaptureFollower((command) => reader.send(command));
  const stream = createLiveStream(clock, {
    onBlock(block) {
      sleep.arrived(block.arrivalUs);
      if (link === 'silent') setLink('connected');
      listeners.onBlock(block);
    },
    onFault: (...fault) => raise(...fault),
  });

  const portName = (): string => portNameOf(target?.source ?? null);

  const faultOf = (kind: FaultKind, count: number, place: StreamFaultPlace = {}): LiveFault => ({
    kind,
    segment: place.segment ?? stream.newestSegment(),
    slot: place.slot ?? null,
    count,
    sentence: faultSentence(kind, count, portName(), place.detail ?? null),
  });

  const raise = (kind: FaultKind, count: number, place?: StreamFaultPlace): void => {
    listeners.onFault(faultOf(kind, count, place));
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
    reconnecting.attempted();
    reader.send({ type: 'open', openId, source: target.source, profile: target.profile });
  };

  const endListening = (message: string | null): void => {
    if (!isListening) return;
    isListening = false;
    listeners.onListeningEnded(message);
  };

  const endReplay = (reason: LossReason, sentence: string): void => {
    target = null;
    lose(reason, 'disconnected', { code: 'connection-lost', sentence });
  };

  /** A capture outlives a cable that comes off, but belongs to one amplifier. */
  const endCapture = (): void => {
    if (capture.status()) reader.sendIfRunning({ type: 'stopCapture' });
  };

  const onReaderDeath = (death: ReaderDeath): void => {
    const lost = new AppError('reader-failed', READER_ENDED, { exitCode: death.exitCode });
    opening.settle(lost);
    questions.rejectAll(lost);
    capture.lost();
    log.error('The reader process ended', { code: lost.code, count: death.exitCode ?? -1 });
    endListening(lost.message);
    // A connection that failed is not made again by itself.
    if (!target || link === 'failed') return;
    raise('readerLost', 1);
    if (target.source.kind === 'replayed') {
      endReplay('readerLost', 'The process that played the capture ended. Play it again.');
      return;
    }
    lose('readerLost', 'reconnecting', { code: lost.code, sentence: readerDeathSentence(death) });
    if (death.isTooOften) reconnecting.waitUntil(death.restartAtUs);
    else attempt();
  };

  const onOpened = ({ path, usb }: Extract<ReaderReport, { type: 'opened' }>): void => {
    if (!target) {
      opening.settle(null);
      return;
    }
    if (target.source.kind === 'serial' && path !== null) {
      target = { ...target, source: { kind: 'serial', path, usb: usb ?? target.source.usb } };
    }
    stream.opened(target.profile.nominalRateHz);
    setLink('connected');
    opening.settle(null);
    if (path !== null) listeners.onIdentified(path, usb);
  };

  const onOpenFailed = (report: Extract<ReaderReport, { type: 'openFailed' }>): void => {
    const failed = new AppError(report.code, report.message, report.details);
    if (link === 'reconnecting') {
      reconnecting.retry();
      // That the port is missing is what reconnecting waits for; anything else stands in its way and is said.
      const isMissing = failed.code === 'port-not-found' && failed.details['otherDevice'] === undefined;
      if (!isMissing && problem?.sentence !== failed.message) {
        setLink('reconnecting', { code: failed.code, sentence: failed.message });
      }
      return;
    }
    if (target) setLink('failed', { code: failed.code, sentence: failed.message });
    opening.settle(failed);
    isListening = false;
  };

  const onClosed = (message: string | null): void => {
    if (message === null) return;
    endListening(message);
    if (!target) return;
    if (target.source.kind === 'replayed') {
      endReplay('disconnect', message);
      return;
    }
    raise('disconnect', 1);
    reconnecting.retry();
    lose('disconnect', 'reconnecting', {
      code: 'connection-lost',
      sentence: lostSentence(message),
    });
  };

  const onReport = (report: ReaderReport): void => {
    switch (report.type) {
      case 'ports':
      case 'portsFailed':
      case 'recentBytes':
        questions.answered(report);
        return;
      case 'captureChanged':
        if (report.error !== null)
          log.error('A capture ended', { code: 'storage-failed', cause: report.error });
        capture.changed(report);
        listeners.onChange();
        return;
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
        stream.receive(report);
        return;
      default:
        assertNever(report, 'A report of the reader without a rule');
    }
  };

  const watchSilence = (nowUs: number): void => {
    if (!target || (link !== 'connected' && link !== 'silent') || !stream.isSilent(nowUs)) return;
    if (link === 'connected') raise('silence', 1);
    const sentence = stream.isUnreadable(nowUs)
      ? unreadableSentence(target.profile.name)
      : faultSentence('silence', 1, 'the amplifier');
    if (problem?.sentence !== sentence) setLink('silent', { code: 'amplifier-silent', sentence });
  };

  const watchSleep = (nowUs: number): void => {
    const sleptS = sleep.tick(nowUs, clock.now().getTime());
    if (sleptS === null || !target || link === 'failed') return;
    raise('computerSlept', sleptS);
    reader.sendIfRunning({ type: 'breakSegment' });
  };

  const requireConnected = (consequence: string): AmplifierTarget => {
    if (target && (link === 'connected' || link === 'silent')) return target;
    throw new AppError(
      'amplifier-not-connected',
      `No amplifier is connected, ${consequence}. Connect it in Setup first.`,
    );
  };

  const disconnect = (): void => {
    const wasConnected = target !== null;
    target = null;
    openId += 1;
    opening.settle(new AppError('amplifier-not-connected', 'The connection was ended before it stood.'));
    endListening(null);
    endCapture();
    reader.sendIfRunning({ type: 'close' });
    if (wasConnected) listeners.onLost('disconnect');
    setLink('disconnected');
  };

  return {
    listPorts: () => questions.listPorts(),

    connect(newTarget) {
      opening.refuseAnother();
      endListening(null);
      endCapture();
      target = newTarget;
      stream.forgetCounters();
      const connection = opening.begin();
      setLink('connecting');
      attempt();
      return connection;
    },

    disconnect() {
      disconnect();
      return Promise.resolve();
    },

    listen(path, baudRate) {
      opening.refuseAnother();
      if (target) disconnect();
      isListening = true;
      openId += 1;
      const opened = opening.begin();
      reader.send({ type: 'listen', openId, path, baudRate });
      return opened;
    },

    sendText(text) {
      requireConnected('so nothing was sent');
      reader.sendIfRunning({ type: 'sendText', text });
    },

    startCapture(filePath) {
      const { profile, source } = requireConnected('so there is nothing to capture');
      if (source.kind === 'replayed') {
        throw new AppError('invalid-state', 'What is played is a capture already. Nothing was started.');
      }
      return capture.start(filePath, {
        format: 'serial-capture',
        version: 1,
        startedAt: clock.now().toISOString(),
        path: portName(),
        profile,
      });
    },
    stopCapture: () => capture.stop(),
    takeRecentBytes: () => questions.takeRecentBytes(),

    standingFaults() {
      const ofLink = link === 'silent' ? [{ kind: 'silence' as const, count: 1 }] : [];
      return [...stream.standing(), ...ofLink].map(({ kind, count, ...place }) =>
        faultOf(kind, count, place),
      );
    },

    nameAmplifier(amplifier) {
      if (target) target = { ...target, amplifier };
    },
    pull(pull) {
      reader.sendIfRunning({ type: 'pull', pull });
    },
    push(torqueNm, durationS) {
      reader.sendIfRunning({ type: 'push', torqueNm, durationS });
    },
    hang(torqueNm) {
      reader.sendIfRunning({ type: 'hang', torqueNm });
    },

    status: () => ({
      source: target?.source.kind ?? 'none',
      link,
      amplifierId: target?.amplifier?.id ?? null,
      amplifierName: target?.amplifier?.name ?? null,
      portPath: target?.source.kind === 'serial' ? target.source.path : null,
      replayedFile: target?.source.kind === 'replayed' ? basename(target.source.filePath) : null,
      profileName: target?.profile.name ?? null,
      nominalRateHz: target?.profile.nominalRateHz ?? null,
      clockSource: target ? clockSourceOf(target.profile) : null,
      ...stream.status(),
      capture: capture.status(),
      captureProblem: capture.problem(),
      problem,
    }),
    target: () => target,

    tick() {
      const nowUs = clock.monotonicUs();
      const isLate = nowUs - lastTickUs > LATE_TICK_US;
      lastTickUs = nowUs;
      reader.acknowledge();
      watchSleep(nowUs);
      if (!isLate) watchSilence(nowUs);
      if (target) stream.watchRate(nowUs);
      if (link === 'reconnecting' && reconnecting.isDue(nowUs)) attempt();
    },

    async close() {
      const hasStopText = (target?.profile.textsToSend.stop ?? null) !== null;
      target = null;
      // Reports that are still on their way belong to nobody any more.
      openId += 1;
      const ended = new AppError('shutting-down', 'The program is ending. What was stored is safe.');
      opening.settle(ended);
      questions.rejectAll(ended);
      endCapture();
      await withinLimit(capture.ended(), CAPTURE_PATIENCE_MS);
      await reader.end(hasStopText ? CLOSING_PATIENCE_MS : 0);
    },
  };
}
