import { AppError } from '../app-error.ts';
import { createSeededRandom } from './seeded-random.ts';

/** How the clock of a simulated amplifier errs. Plain data; what is left out is zero, and times run from the first sample. */
export interface SenderClockOptions {
  /** How much the amplifier's oscillator, and with it the rate and the device time, runs fast. */
  readonly rateErrorPpm?: number;
  /** How much more it runs fast each minute. */
  readonly driftPpmPerMinute?: number;
  /** Standard deviation of the time of sending; the times of sampling have none of it. */
  readonly jitterUs?: number;
  /** From `atS` on the rate is `factor` times the nominal one, until the next step. The device time shows it. */
  readonly rateSteps?: readonly { readonly atS: number; readonly factor: number }[];
}

export interface SenderClock {
  /** Start of the period of sample `index`, in seconds of the world's clock since the start of sample 0. */
  sampledAtS(index: number): number;
  /** The same instant on the amplifier's own oscillator. */
  deviceTimeS(index: number): number;
  /** How much later than due the next line is sent; drawn once for each line. May be negative. */
  drawJitterUs(): number;
}

/** A stream of chance apart from those of the bench. */
const JITTER_STREAM = 3;

interface Stretch {
  readonly fromS: number;
  readonly fromIndex: number;
  readonly rateHz: number;
}

/**
 * The clock by which a simulated amplifier samples and sends. Pure; the seed fixes the jitter.
 *
 * With e the error at the start and k the drift (per second), device time d and world time t obey d = (1 + e) t + k t^2 / 2.
 * Errors: AppError 'input-out-of-range' for a clock that no amplifier has.
 */
export function createSenderClock(
  nominalRateHz: number,
  options: SenderClockOptions = {},
  seed = 0,
): SenderClock {
  const { rateErrorPpm = 0, driftPpmPerMinute = 0, jitterUs = 0, rateSteps = [] } = options;
  requireWithin(rateErrorPpm, 100_000, 'The rate error in ppm');
  requireWithin(driftPpmPerMinute, 1000, 'The drift in ppm per minute');
  if (!(jitterUs >= 0 && jitterUs <= 1e7)) {
    throw new AppError(
      'input-out-of-range',
      `The jitter in us must lie between 0 and 1e7; ${jitterUs} does not.`,
    );
  }
  const stretches = layOut(nominalRateHz, rateSteps);
  const random = createSeededRandom(seed, JITTER_STREAM);
  const start = 1 + rateErrorPpm * 1e-6;
  const driftPerS = (driftPpmPerMinute * 1e-6) / 60;

  function deviceTimeS(index: number): number {
    // There are few steps: looking from the newest is as quick as a search.
    for (let at = stretches.length - 1; at >= 0; at -= 1) {
      const stretch = stretches[at];
      if (stretch && index >= stretch.fromIndex)
        return stretch.fromS + (index - stretch.fromIndex) / stretch.rateHz;
    }
    return index / nominalRateHz;
  }

  return {
    deviceTimeS,
    sampledAtS(index) {
      const deviceS = deviceTimeS(index);
      // The root of the equation above in a form that keeps its digits where the drift is small. A clock that drifts down
      // would stand still in the end (after 16 hours at -1000 ppm a minute).
      const root = Math.sqrt(Math.max(0, start ** 2 + 2 * driftPerS * deviceS));
      return (2 * deviceS) / (start + root);
    },
    drawJitterUs: () => (jitterUs === 0 ? 0 : jitterUs * random.gaussian()),
  };
}

function layOut(
  nominalRateHz: number,
  rateSteps: NonNullable<SenderClockOptions['rateSteps']>,
): readonly Stretch[] {
  let last: Stretch = { fromS: 0, fromIndex: 0, rateHz: nominalRateHz };
  const stretches = [last];
  for (const { atS, factor } of [...rateSteps].sort((one, other) => one.atS - other.atS)) {
    if (!(atS >= 0 && factor >= 0.01 && factor <= 100)) {
      throw new AppError(
        'input-out-of-range',
        `A step of the rate must come at 0 s or later, by a factor between 0.01 and 100; ${factor} at ${atS} s does not.`,
      );
    }
    // The period that has begun is finished at the old rate.
    const fromIndex = last.fromIndex + Math.max(0, Math.ceil((atS - last.fromS) * last.rateHz - 1e-9));
    const fromS = last.fromS + (fromIndex - last.fromIndex) / last.rateHz;
    last = { fromS, fromIndex, rateHz: nominalRateHz * factor };
    stretches.push(last);
  }
  return stretches;
}

function requireWithin(value: number, limit: number, what: string): void {
  if (Math.abs(value) <= limit) return;
  throw new AppError('input-out-of-range', `${what} must lie between ±${limit}; ${value} does not.`);
}
