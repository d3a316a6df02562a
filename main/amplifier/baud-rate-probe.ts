import {
  describeScore,
  judgeText,
  scoreText,
  type TextScore,
} from '../../shared-lib/amplifier/listening/score-text.ts';
import type { BaudRateTrial } from '../../shared-lib/amplifier/listening-model.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Clock } from '../platform/clock.ts';

/** The most usual first. */
const usualBaudRates = [
  115_200, 9600, 57_600, 230_400, 460_800, 921_600, 38_400, 19_200, 1_000_000, 2_000_000, 4800, 2400,
] as const;

const JUDGE_MS = 600;
/** Longer where it may be text of which too little came yet. */
const SLOW_TEXT_MS = 1500;
const SILENCE_MS = 1000;
/** So many silent rates, and the user is told what to look at while the others are tried. */
const SILENT_RATES = 3;
/** Some boards start anew whenever the port is opened, and say nothing for a while. */
const BOOTING_MS = 3000;
const GARBAGE_MS = 150;
const GARBAGE_BYTES = 200;
const GARBAGE_SHARE = 0.8;
const JUDGED_BYTES = 8192;
/** What is taken where no rate gave text beyond doubt. */
const LEAST_SHARE = 0.9;

export const silentPortProblem = {
  code: 'nothing-heard',
  sentence:
    'Nothing is heard from the port. Check that the device has power, that the cable carries data and that it is the right port. Some devices send only after a command: see its manual, and give the command as the text to start in a profile of your own.',
} as const;

export type ProbeResult =
  | { readonly kind: 'found'; readonly baudRate: number }
  | { readonly kind: 'failed'; readonly problem: { readonly code: string; readonly sentence: string } }
  | { readonly kind: 'ended' };

export interface ProbeListeners {
  /** A rate is tried from now on; what was heard before was at another. */
  onRate(baudRate: number): void;
  onTried(trial: BaudRateTrial): void;
  /** Nothing was heard at the first rates; the others are still tried. */
  onSilence(): void;
}

export interface BaudRateProbe {
  /** Tries one rate after the other; the port is open at the one that was found. Errors: AppErrors of the first opening. */
  run(): Promise<ProbeResult>;
  heard(bytes: Uint8Array): void;
  /** `run` resolves with 'ended'. */
  end(): void;
}

interface Heard {
  readonly baudRate: number;
  readonly score: TextScore;
}

export function createBaudRateProbe(
  clock: Pick<Clock, 'monotonicUs'>,
  open: (baudRate: number) => Promise<void>,
  listeners: ProbeListeners,
): BaudRateProbe {
  let newest: Uint8Array = new Uint8Array();
  let byteCount = 0;
  let isEnded = false;
  let wake: () => void = () => undefined;

  const score = (): TextScore => scoreText(newest);

  /** Until the time is over, more was heard, or the probe was ended. */
  const wait = (ms: number): Promise<void> =>
    new Promise((resolve) => {
      const timer = setTimeout(resolve, ms);
      wake = () => {
        clearTimeout(timer);
        resolve();
      };
    });

  const listenAt = async (baudRate: number, silenceMs: number): Promise<Heard> => {
    newest = new Uint8Array();
    byteCount = 0;
    const startedUs = clock.monotonicUs();
    for (;;) {
      const passedMs = (clock.monotonicUs() - startedUs) / 1000;
      const heard = score();
      const leftMs = patienceMs(heard, byteCount, silenceMs) - passedMs;
      if (leftMs <= 0 || isEnded) return { baudRate, score: heard };
      await wait(leftMs);
    }
  };

  /** Null where the port cannot be opened at this rate. */
  const tryRate = async (baudRate: number, silenceMs: number, isFirst: boolean): Promise<Heard | null> => {
    listeners.onRate(baudRate);
    try {
      await open(baudRate);
    } catch (error) {
      if (isEnded) return null;
      // Some ports refuse some rates; anything else that stands in the way stood in the way of the first.
      if (isFirst || !(error instanceof AppError) || error.code !== 'port-failed') throw error;
      listeners.onTried({
        baudRate,
        readableShare: null,
        sentence: 'The port cannot be opened at this rate.',
      });
      return null;
    }
    const heard = await listenAt(baudRate, silenceMs);
    if (isEnded) return null;
    const readableShare = heard.score.byteCount === 0 ? null : heard.score.readableShare;
    listeners.onTried({ baudRate, readableShare, sentence: describeScore(heard.score) });
    return heard;
  };

  const tryRates = async (): Promise<ProbeResult> => {
    const tried: Heard[] = [];
    const tryOne = async (baudRate: number, silenceMs: number): Promise<boolean> => {
      const heard = await tryRate(baudRate, silenceMs, tried.length === 0);
      if (heard) tried.push(heard);
      return heard !== null && judgeText(heard.score) === 'text';
    };
    const isSilent = (): boolean => tried.every(({ score: { byteCount: bytes } }) => bytes === 0);

    for (const [index, baudRate] of usualBaudRates.entries()) {
      const silenceMs = index < SILENT_RATES ? SILENCE_MS : JUDGE_MS;
      if (await tryOne(baudRate, silenceMs)) return { kind: 'found', baudRate };
      if (isEnded) return { kind: 'ended' };
      if (index === SILENT_RATES - 1 && isSilent()) listeners.onSilence();
    }
    if (isSilent()) {
      for (const baudRate of usualBaudRates.slice(0, SILENT_RATES)) {
        if (await tryOne(baudRate, BOOTING_MS)) return { kind: 'found', baudRate };
        if (isEnded) return { kind: 'ended' };
      }
    }
    const best = bestOf(tried);
    if (!best) return { kind: 'failed', problem: isSilent() ? silentPortProblem : explainNoText(tried) };
    listeners.onRate(best.baudRate);
    await open(best.baudRate);
    return { kind: 'found', baudRate: best.baudRate };
  };

  return {
    async run() {
      try {
        return await tryRates();
      } catch (error) {
        if (isEnded) return { kind: 'ended' };
        throw error;
      }
    },
    heard(bytes) {
      byteCount += bytes.length;
      const joined = new Uint8Array(newest.length + bytes.length);
      joined.set(newest);
      joined.set(bytes, newest.length);
      newest = joined.subarray(Math.max(0, joined.length - JUDGED_BYTES));
      wake();
    },
    end() {
      isEnded = true;
      wake();
    },
  };
}

/** How long to listen in all, by what was heard so far. */
function patienceMs(score: TextScore, byteCount: number, silenceMs: number): number {
  switch (judgeText(score)) {
    case 'text':
      return 0;
    case 'nothing':
      return silenceMs;
    case 'tooLittle':
    case 'textWithoutLineEnds':
      return SLOW_TEXT_MS;
    case 'notText': {
      const isGarbage = score.readableShare < GARBAGE_SHARE && byteCount >= GARBAGE_BYTES;
      return isGarbage ? GARBAGE_MS : JUDGE_MS;
    }
  }
}

/** The rate at which most was readable, if it was nearly all. */
function bestOf(tried: readonly Heard[]): Heard | null {
  const plausible = tried.filter(({ score }) => {
    const verdict = judgeText(score);
    return (
      verdict === 'tooLittle' ||
      verdict === 'textWithoutLineEnds' ||
      (score.readableShare >= LEAST_SHARE && score.lineEnds > 0)
    );
  });
  const worth = ({ score }: Heard): number => score.readableShare + Math.min(score.lineEnds, 2);
  return plausible.reduce<Heard | null>(
    (best, heard) => (best && worth(best) >= worth(heard) ? best : heard),
    null,
  );
}

function explainNoText(tried: readonly Heard[]): { code: string; sentence: string } {
  const best = tried.reduce((one, other) =>
    (other.score.readableShare || 0) > (one.score.readableShare || 0) ? other : one,
  );
  return {
    code: 'not-text',
    sentence: `Something is sent, but it is text at none of the usual baud rates; most was readable at ${best.baudRate}. The device may use another rate, another framing than 8 data bits without parity, or a binary form, which this program does not read. See its manual; a rate of its own can be typed in.`,
  };
}
