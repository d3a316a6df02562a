import { formatNumber, formatRate, THIN_SPACE } from '../format-quantity.ts';
import { measuringWindowSamples } from '../signal/measuring-curve.ts';
import { followDecay, freeResponse, strongestLineHz, type Decay } from './measure-ringing.ts';

export interface RingingResponse {
  /** At least a quarter of a second of rest, then the answer to a tap or to a weight let go, until it is at rest again. */
  readonly torqueNm: Float64Array;
  readonly sampleRateHz: number;
  /** Above it the amplifier lets nothing through; null: not known. */
  readonly antiAliasHz: number | null;
}

export interface RingingAnalysis {
  /** Of the ringing as it is seen, hence damped. Null where none stands out, or the rate cannot tell it from an alias. */
  readonly frequencyHz: number | null;
  /** Of critical damping. */
  readonly dampingRatio: number | null;
  /** Until the ringing has fallen to 1/e. */
  readonly decayS: number | null;
  readonly sentences: string[];
  readonly refusedMeasures: string[];
}

/** Fewer samples a period and the shape of the ringing is lost (ours). */
const LEAST_SAMPLES_PER_PERIOD = 4;
/** So near to half the rate a line and its alias run into each other (ours). */
const BAND_EDGE_SHARE = 0.45;
/** Blows of impact tools (common practice, no source). */
const BLOW_BAND_HZ = { from: 10, to: 80 } as const;
/** At less, blows and ringing show as slower ones: 65 Hz at 80 Sa/s as 15 Hz. */
const UNFILTERED_RATE_HZ = 320;
const STATIC = 'Static calibration; dynamic error not included.';

type Finding =
  | { readonly kind: 'none' | 'hum' | 'alias'; readonly lineHz: number | null }
  | { readonly kind: 'ringing'; readonly decay: Decay };

/**
 * How the rig answers a tap or a released weight: frequency from the highest line of a periodogram of what follows, then from
 * how its phase moves on; damping from the straight line through the logarithms of its height.
 *
 * Units: N m, Hz, s. Says null rather than a frequency that may be an alias. Source: decay of a damped oscillation
 * (textbooks, from memory); checked against damped sines of known frequency and damping.
 */
export function analyseRinging({ torqueNm, sampleRateHz, antiAliasHz }: RingingResponse): RingingAnalysis {
  const isAliasRuledOut = antiAliasHz !== null && antiAliasHz <= sampleRateHz / 2;
  const finding = findRinging(torqueNm, sampleRateHz, isAliasRuledOut);
  const frequencyHz = finding.kind === 'ringing' ? finding.decay.frequencyHz : null;
  const ratePerS = finding.kind === 'ringing' ? finding.decay.ratePerS : null;
  return {
    frequencyHz,
    dampingRatio:
      ratePerS === null || frequencyHz === null
        ? null
        : // sigma = zeta w0 and wd = w0 sqrt(1 - zeta^2)
          ratePerS / Math.hypot(ratePerS, 2 * Math.PI * frequencyHz),
    decayS: ratePerS === null ? null : 1 / ratePerS,
    sentences: [
      describeFinding(finding, sampleRateHz),
      describeReach(sampleRateHz, antiAliasHz, isAliasRuledOut),
      STATIC,
    ],
    refusedMeasures: refusals(sampleRateHz, isAliasRuledOut, frequencyHz),
  };
}

function findRinging(torqueNm: Float64Array, sampleRateHz: number, isAliasRuledOut: boolean): Finding {
  const response = freeResponse(torqueNm, sampleRateHz);
  const lineHz = response === null ? null : strongestLineHz(response);
  const decay = response === null || lineHz === null ? null : followDecay(response, lineHz);
  if (decay === null) return { kind: 'none', lineHz: null };
  if (!decay.isDying) return { kind: 'hum', lineHz };
  const highestHz = isAliasRuledOut
    ? BAND_EDGE_SHARE * sampleRateHz
    : sampleRateHz >= UNFILTERED_RATE_HZ
      ? sampleRateHz / LEAST_SAMPLES_PER_PERIOD
      : 0;
  return decay.frequencyHz > highestHz
    ? { kind: 'alias', lineHz: decay.frequencyHz }
    : { kind: 'ringing', decay };
}

function describeFinding(finding: Finding, sampleRateHz: number): string {
  if (finding.kind === 'ringing') {
    const { frequencyHz, ratePerS } = finding.decay;
    const fall =
      ratePerS === null
        ? 'how fast that dies away could not be told, since it does not fall evenly or is gone too soon'
        : `each swing is ${formatNumber(100 * (1 - Math.exp(-ratePerS / frequencyHz)), 0)}${THIN_SPACE}% lower than the one before`;
    return `The rig rings at ${hertz(frequencyHz)}; ${fall}.`;
  }
  if (finding.lineHz === null)
    return 'No ringing stands out of what followed the tap: the rig is well damped, or the tap was too weak. Tap harder to be sure.';
  if (finding.kind === 'hum')
    return `A line at ${hertz(finding.lineHz)} does not die away, so it is not the rig that rings: mains hum or a machine nearby. Find its source, then tap again.`;
  const aliasHz = sampleRateHz - finding.lineHz;
  const enoughHz = Math.max(UNFILTERED_RATE_HZ, LEAST_SAMPLES_PER_PERIOD * aliasHz);
  return `Something shows at ${hertz(finding.lineHz)}, but at ${formatRate(sampleRateHz)} that may be the alias of ${hertz(aliasHz)} or more, so no frequency is told. Tap again at ${formatRate(Math.ceil(enoughHz / 100) * 100)} or more, or enter the anti-alias bandwidth of the amplifier in its profile.`;
}

function describeReach(sampleRateHz: number, antiAliasHz: number | null, isAliasRuledOut: boolean): string {
  const rate = formatRate(sampleRateHz);
  const shape = hertz(sampleRateHz / LEAST_SAMPLES_PER_PERIOD);
  if (antiAliasHz === null)
    return `${rate} show the shape of what swings up to ${shape}. The anti-alias bandwidth of the amplifier is not known: what swings faster than ${hertz(sampleRateHz / 2)} would show as something slower.`;
  if (isAliasRuledOut)
    return `${rate} and an anti-alias bandwidth of ${hertz(antiAliasHz)} show the shape of what swings up to ${hertz(Math.min(antiAliasHz, sampleRateHz / LEAST_SAMPLES_PER_PERIOD))}; faster things read too low or not at all.`;
  return `${rate} show the shape of what swings up to ${shape}. The anti-alias bandwidth of ${hertz(antiAliasHz)} lets more through than half the rate: what swings faster than ${hertz(sampleRateHz / 2)} would show as something slower.`;
}

function refusals(sampleRateHz: number, isAliasRuledOut: boolean, frequencyHz: number | null): string[] {
  const refused = ['Highest reading as a torque of the tool: it holds the ringing of the rig too.'];
  const isInBlowBand =
    frequencyHz !== null && frequencyHz >= BLOW_BAND_HZ.from && frequencyHz <= BLOW_BAND_HZ.to;
  if (sampleRateHz < UNFILTERED_RATE_HZ && !isAliasRuledOut) {
    refused.push(
      `Blow rate: it needs ${formatRate(UNFILTERED_RATE_HZ)}, or an anti-alias bandwidth of at most half the rate.`,
    );
  } else if (isInBlowBand) {
    refused.push(`Blow rate: the rig itself rings at ${hertz(frequencyHz)}, among the rates of blows.`);
  }
  const fourSamplesS = LEAST_SAMPLES_PER_PERIOD / sampleRateHz;
  const swingS = frequencyHz === null ? 0 : 1 / frequencyHz;
  refused.push(
    `Torque at an instant shorter than ${milliseconds(Math.max(fourSamplesS, swingS))}: that is ${swingS > fourSamplesS ? 'one swing of the rig' : 'four samples'}.`,
  );
  const windowSamples = measuringWindowSamples(sampleRateHz);
  if (windowSamples !== null && swingS > windowSamples / sampleRateHz) {
    refused.push(
      `Torque at a time, and time to a torque: a swing of the rig is longer than the ${milliseconds(windowSamples / sampleRateHz)} over which they are averaged.`,
    );
  }
  return refused;
}

function hertz(value: number): string {
  return `${formatNumber(value, value < 100 ? 1 : 0)}${THIN_SPACE}Hz`;
}

function milliseconds(valueS: number): string {
  const ms = 1000 * valueS;
  return `${formatNumber(ms, ms < 10 ? 1 : 0)}${THIN_SPACE}ms`;
}
