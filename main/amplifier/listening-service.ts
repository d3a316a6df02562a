import {
  createLineAnalyser,
  type LineAnalyser,
  type LineAnalysis,
} from '../../shared-lib/amplifier/listening/analyse-lines.ts';
import { judgeText, percent, scoreText } from '../../shared-lib/amplifier/listening/score-text.ts';
import {
  createHeardLineSplitter,
  LONGEST_HEARD_LINE,
  showHeardLine,
  type HeardLineSplitter,
} from '../../shared-lib/amplifier/listening/split-heard-lines.ts';
import type { BaudRateTrial, Listening } from '../../shared-lib/amplifier/listening-model.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Clock } from '../platform/clock.ts';
import type { Logger } from '../platform/logger.ts';
import { createBaudRateProbe, silentPortProblem, type BaudRateProbe } from './baud-rate-probe.ts';

/** What listening needs of the connection to the amplifier. */
export interface ListeningPort {
  listen(path: string, baudRate: number): Promise<void>;
  disconnect(): Promise<void>;
}

export interface ListeningService {
  /**
   * Listens at one baud rate, or tries the usual ones; resolves when the port is open the first time.
   *
   * Errors: those of opening a port; nothing is listened to then.
   */
  start(path: string, baudRate: number | null): Promise<void>;
  /** Does nothing where nobody listens. */
  stop(): Promise<void>;
  current(): Listening | null;
  heard(bytes: Uint8Array, arrivalUs: number): void;
  /** The port is not listened to any more. `message`: what it said; null where another connection took its place. */
  ended(message: string | null): void;
  /** To be called some twenty times a second. */
  tick(): void;
}

const REPORT_INTERVAL_US = 200_000;
const SHOWN_LINES = 40;
const JUDGE_US = 1_000_000;
const SILENT_US = 2_000_000;
const JUDGED_BYTES = 4096;
/** A line so long has no end. */
const ENDLESS_BYTES = 1000;

const nothingKnown: LineAnalysis = { lineRateHz: null, fields: [], proposals: [], problem: null };

interface Run {
  readonly path: string;
  state: Listening['state'];
  /** Null where none was found. */
  baudRate: number | null;
  probe: BaudRateProbe | null;
  triedBaudRates: BaudRateTrial[];
  splitter: HeardLineSplitter;
  analyser: LineAnalyser;
  lines: string[];
  bytesHeard: number;
  newestBytes: Uint8Array;
  openedUs: number;
  lastHeardUs: number;
  analysis: LineAnalysis;
  /** Of the port itself; it stands before what the lines say. */
  problem: Listening['problem'];
}

/** Hears a port of which nothing is known, and reports what it makes of it at most five times a second. */
export function createListeningService(
  tools: { clock: Clock; log: Logger; port: ListeningPort },
  onChange: (listening: Listening | null) => void,
): ListeningService {
  const { clock, log, port } = tools;
  let run: Run | null = null;
  let isStarting = false;
  let isChanged = false;
  let reportedUs = -Infinity;

  const beginAt = (current: Run, baudRate: number): void => {
    current.baudRate = baudRate;
    current.splitter = createHeardLineSplitter();
    current.analyser = createLineAnalyser();
    current.analysis = nothingKnown;
    current.lines = [];
    current.newestBytes = new Uint8Array();
    current.openedUs = clock.monotonicUs();
    isChanged = true;
  };

  const fail = (current: Run, problem: NonNullable<Listening['problem']>): void => {
    current.state = 'failed';
    current.problem = problem;
    isChanged = true;
  };

  const report = (): void => {
    isChanged = false;
    reportedUs = clock.monotonicUs();
    onChange(run && toListening(run));
  };

  const open = async (current: Run, baudRate: number): Promise<void> => {
    await port.listen(current.path, baudRate);
    current.openedUs = clock.monotonicUs();
  };

  const startProbe = (current: Run): Promise<void> =>
    new Promise((resolve, reject) => {
      let isOpen = false;
      const probe = createBaudRateProbe(
        clock,
        async (baudRate) => {
          await open(current, baudRate);
          isOpen = true;
          resolve();
        },
        {
          onRate: (baudRate) => beginAt(current, baudRate),
          onTried(trial) {
            // Where all was silent some are tried again, for longer.
            const others = current.triedBaudRates.filter(({ baudRate }) => baudRate !== trial.baudRate);
            current.triedBaudRates = [...others, trial];
            isChanged = true;
          },
          onSilence() {
            current.problem = silentPortProblem;
            isChanged = true;
          },
        },
      );
      current.probe = probe;
      probe.run().then(
        (result) => {
          current.probe = null;
          if (result.kind === 'ended' || run !== current) {
            resolve();
            return;
          }
          if (result.kind === 'failed') {
            current.baudRate = null;
            fail(current, result.problem);
            void port.disconnect();
            return;
          }
          current.state = 'listening';
          current.problem = null;
          isChanged = true;
        },
        (error: unknown) => {
          current.probe = null;
          if (!(error instanceof AppError)) throw error;
          if (isOpen) fail(current, { code: error.code, sentence: error.message });
          else reject(error);
        },
      );
    });

  /** What the bytes say against the port or the rate, once there was time to judge. */
  const judge = (current: Run, nowUs: number): void => {
    const { state, baudRate } = current;
    if (state !== 'listening' || baudRate === null || nowUs - current.openedUs < JUDGE_US) return;
    const before = current.problem;
    const isSilent = nowUs - Math.max(current.openedUs, current.lastHeardUs) > SILENT_US;
    const verdict = judgeText(scoreText(current.newestBytes));
    if (isSilent || verdict === 'nothing') current.problem = silentPortProblem;
    else if (verdict === 'notText') {
      const { readableShare } = scoreText(current.newestBytes);
      current.problem = {
        code: 'not-text',
        sentence: `What comes at ${baudRate} baud is not text: ${percent(readableShare)} of it is readable. Listen without a baud rate, and the usual ones are tried.`,
      };
    } else if (current.splitter.unendedBytes > ENDLESS_BYTES) {
      current.problem = {
        code: 'no-line-ends',
        sentence:
          'Readable characters come, but no line ever ends, so that numbers cannot be told apart. See whether the device can be set to send one line for each reading.',
      };
    } else current.problem = null;
    if (before?.code !== current.problem?.code) isChanged = true;
  };

  const stop = async (): Promise<void> => {
    const stopped = run;
    if (!stopped) return;
    run = null;
    stopped.probe?.end();
    if (stopped.state !== 'failed') await port.disconnect();
    report();
  };

  return {
    async start(path, baudRate) {
      if (isStarting) {
        throw new AppError(
          'invalid-state',
          'A port is being opened to be listened to; wait until it is open or fails.',
        );
      }
      isStarting = true;
      const current = newRun(path, baudRate, clock.monotonicUs());
      try {
        await stop();
        run = current;
        if (baudRate === null) await startProbe(current);
        else {
          current.state = 'listening';
          await open(current, baudRate);
        }
      } catch (error) {
        if (run === current) {
          run = null;
          report();
        }
        throw error;
      } finally {
        isStarting = false;
      }
      log.info('Listening to a port', { code: baudRate === null ? 'probing' : 'one-rate' });
      if (run === current) report();
    },

    stop,

    current: () => run && toListening(run),

    heard(bytes, arrivalUs) {
      if (!run || run.state === 'failed') return;
      run.bytesHeard += bytes.length;
      run.lastHeardUs = arrivalUs;
      run.newestBytes = joinNewest(run.newestBytes, bytes);
      const lines = run.splitter.push(bytes, arrivalUs);
      run.analyser.push(lines);
      const shown = lines
        .slice(-SHOWN_LINES)
        .map(({ text }) => showHeardLine(text).slice(0, LONGEST_HEARD_LINE));
      run.lines = [...run.lines, ...shown].slice(-SHOWN_LINES);
      run.probe?.heard(bytes);
      isChanged = true;
    },

    ended(message) {
      const current = run;
      if (!current || current.state === 'failed') return;
      current.probe?.end();
      if (message === null) {
        run = null;
        report();
        return;
      }
      fail(current, {
        code: 'connection-lost',
        sentence: `The port ${current.path} was lost while it was listened to (${message}) Nothing was recorded from it. Plug the amplifier in again, then listen again.`,
      });
    },

    tick() {
      const nowUs = clock.monotonicUs();
      if (!run || nowUs - reportedUs < REPORT_INTERVAL_US) return;
      judge(run, nowUs);
      if (!isChanged) return;
      if (run.state === 'listening' && run.baudRate !== null)
        run.analysis = run.analyser.analyse(run.baudRate);
      report();
    },
  };
}

function newRun(path: string, baudRate: number | null, nowUs: number): Run {
  return {
    path,
    state: 'probing',
    baudRate,
    probe: null,
    triedBaudRates: [],
    splitter: createHeardLineSplitter(),
    analyser: createLineAnalyser(),
    lines: [],
    bytesHeard: 0,
    newestBytes: new Uint8Array(),
    openedUs: nowUs,
    lastHeardUs: -Infinity,
    analysis: nothingKnown,
    problem: null,
  };
}

function joinNewest(before: Uint8Array, bytes: Uint8Array): Uint8Array {
  const joined = new Uint8Array(before.length + bytes.length);
  joined.set(before);
  joined.set(bytes, before.length);
  return joined.slice(Math.max(0, joined.length - JUDGED_BYTES));
}

/** While rates are tried nothing is proposed: a profile of the wrong rate would be taken for found. */
function toListening(run: Run): Listening {
  const { state, path, baudRate, triedBaudRates, lines, bytesHeard, analysis, problem } = run;
  const { lineRateHz, fields, proposals } = state === 'probing' ? nothingKnown : analysis;
  return {
    state,
    path,
    baudRate,
    triedBaudRates,
    lines,
    lineRateHz,
    bytesHeard,
    fields,
    proposals,
    problem: problem ?? (state === 'probing' ? null : analysis.problem),
  };
}
