import { assertNever } from '../assert-never.ts';
import { formatDuration, formatNumber, formatRate, THIN_SPACE } from '../format-quantity.ts';
import type { ClockSource } from './sample-clock.ts';

export interface ClockFacts {
  readonly source: ClockSource;
  /** Of the profile. */
  readonly nominalRateHz: number;
  /** The fit of the trial's slots against the computer's clock, see `fitSampleClock`; null where it gave no rate. */
  readonly sampleRateHz: number | null;
  readonly residualUs: number | null;
  readonly rateStandardErrorHz: number | null;
  /** At which the sequence number, or the device time in us, starts again; null where a line has neither. */
  readonly modulus: number | null;
  /** The length of a trial for which the errors are worked out. */
  readonly durationS?: number;
}

export interface ClockDescription {
  /** What this way of timing samples can promise, and what not. */
  readonly promise: string;
  /** How well the rate is known and what that means for times; null where there is no fit. */
  readonly fit: string | null;
}

const USUAL_DURATION_S = 10;

/**
 * In plain words what the clock of a trial can promise for its times. Pure.
 *
 * Times are slots over the fitted rate, whatever places the samples on slots. So an error of the rate grows with the time
 * since the onset, and is no error of single samples; only where arrival alone places them, single samples err too.
 */
export function describeClock(facts: ClockFacts): ClockDescription {
  return { promise: promiseOf(facts), fit: describeFit(facts) };
}

function promiseOf({ source, nominalRateHz, modulus }: ClockFacts): string {
  switch (source) {
    case 'sequence': {
      const cycle =
        modulus === null ? '' : ` (${formatNumber(modulus, 0)} samples, ${lasting(modulus / nominalRateHz)})`;
      return (
        `Each line carries a number: the place of every sample is exact as long as a gap is shorter than one modulus${cycle}, ` +
        `and every lost sample is seen and keeps its place. A number says nothing of time: one rate for the trial is fitted to ` +
        `the computer's clock, and its error goes into all times alike. If the amplifier changed its rate in the trial, times are wrong.`
      );
    }
    case 'deviceTime': {
      const cycle = modulus === null ? '' : ` (${lasting(modulus / 1e6)})`;
      return (
        `Each line carries the amplifier's own time: it places every sample to the nearest period, and losses are seen as gaps ` +
        `in it while they are shorter than one modulus${cycle}. How long a period lasts is fitted to the computer's clock, one ` +
        `rate for the trial. If the amplifier's clock did not run evenly, its error goes into the times.`
      );
    }
    case 'arrival':
      return (
        `Lines carry neither number nor time: samples are placed one after the other as they arrive, and a lost sample cannot ` +
        `be seen; all after it come out one period early. One rate for the trial is fitted to the arrival times. A single ` +
        `sample may be off by the residual of that fit, the trial as a whole by the standard error of the rate.`
      );
    default:
      return assertNever(source, 'This clock source has no promise');
  }
}

function describeFit(facts: ClockFacts): string | null {
  const { source, nominalRateHz, sampleRateHz, residualUs, rateStandardErrorHz } = facts;
  const durationS = facts.durationS ?? USUAL_DURATION_S;
  if (sampleRateHz === null || residualUs === null) return null;
  const offNominal = sampleRateHz / nominalRateHz - 1;
  const side = offNominal < 0 ? 'below' : 'above';
  const nominal = `${relative(Math.abs(offNominal))} ${side} the nominal ${formatNominal(nominalRateHz)}`;
  const scatter = `Arrival times scatter about it by ${smallTime(residualUs / 1e6)} (residual, one standard deviation)`;
  const ofSamples =
    source === 'arrival'
      ? `${scatter}: a single sample may be off by as much.`
      : `${scatter}, which does not move single samples.`;
  if (rateStandardErrorHz === null) {
    return `The rate is ${formatRate(sampleRateHz, 3)}, ${nominal}; how well it is known was not stored. ${ofSamples}`;
  }
  const relativeError = rateStandardErrorHz / sampleRateHz;
  return (
    `The rate is ${formatRate(sampleRateHz, decimalsFor(rateStandardErrorHz))} with a standard error of ` +
    `${relative(relativeError)}, ${nominal}. ${ofSamples} Over ${formatDuration(durationS)} the error of the rate makes ` +
    `${smallTime(relativeError * durationS)} (one standard error). The computer's own clock is taken as right.`
  );
}

const formatNominal = (nominalRateHz: number): string =>
  formatRate(nominalRateHz, Number.isInteger(nominalRateHz) ? 0 : 2);

/** Long times need no small parts: a modulus of 2^32 numbers lasts for months. */
function lasting(durationS: number): string {
  const days = durationS / 86_400;
  return days >= 2 ? `${formatNumber(days, 0)}${THIN_SPACE}days` : formatDuration(durationS);
}

/** A fraction in ppm, from 0.1 % on in percent. */
function relative(fraction: number): string {
  const ppm = fraction * 1e6;
  if (ppm >= 1000) return `${twoDigits(fraction * 100)}${THIN_SPACE}%`;
  return ppm < 0.1 ? `less than 0.1${THIN_SPACE}ppm` : `${twoDigits(ppm)}${THIN_SPACE}ppm`;
}

function smallTime(durationS: number): string {
  if (durationS >= 1) return `${twoDigits(durationS)}${THIN_SPACE}s`;
  if (durationS >= 1e-3) return `${twoDigits(durationS * 1e3)}${THIN_SPACE}ms`;
  return durationS < 1e-7 ? `less than 0.1${THIN_SPACE}µs` : `${twoDigits(durationS * 1e6)}${THIN_SPACE}µs`;
}

/** An error is known to two digits at best. */
function twoDigits(value: number): string {
  return formatNumber(value, Math.min(1, decimalsFor(value)));
}

/** Decimals that show two digits of an error, and so what is known of the value beside it. */
function decimalsFor(error: number): number {
  return error > 0 ? Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(error)))) : 6;
}
