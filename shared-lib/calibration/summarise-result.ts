import { formatNumber, formatTorqueInBothUnits, THIN_SPACE } from '../format-quantity.ts';
import type { Finding, SenseResult } from './result-model.ts';
import type { RunSetup } from './run-model.ts';
import { senseNames } from './run-findings.ts';
import { sharesOf } from './uncertainty-budget.ts';

const curveWords = ['', 'a straight line', 'a quadratic curve', 'a cubic curve'] as const;

/** The result in plain language, one sentence or two an entry: what it is worth, what limits it, what is missing. */
export function summariseResult(
  setup: RunSetup,
  senses: readonly SenseResult[],
  findings: readonly Finding[],
): string[] {
  const stops = findings.filter(({ severity }) => severity === 'stop').length;
  const missing = setup.senses.filter((sense) => senses.every((result) => result.sense !== sense));
  return [
    ...(stops === 0
      ? []
      : [
          `As it stands no calibration can come of it: ${stops === 1 ? 'one finding stops' : `${stops} findings stop`} it.`,
        ]),
    ...senses.flatMap(summariseSense),
    ...missing.map((sense) => `${senseNames[sense]} has no readings yet.`),
    'Static calibration; dynamic error not included: under blows the reading also depends on bandwidth, sample rate and rig.',
  ];
}

function summariseSense(result: SenseResult): string[] {
  const { sense, steps, degree, hasConstant, validFromNm, validToNm, classification } = result;
  const [low, top] = [steps[0], steps.at(-1)];
  if (low === undefined || top === undefined) return [];
  const name = senseNames[sense];
  const range =
    low === top
      ? `at ${formatTorqueInBothUnits(validToNm, 1)}`
      : `from ${formatTorqueInBothUnits(validFromNm, 1)} to ${formatTorqueInBothUnits(validToNm, 1)}`;
  const curve = `${curveWords[degree] ?? ''} ${hasConstant ? 'with a constant' : 'through the zero'}`;
  return [
    `${name}: ${range}, read by ${curve}. At the top the uncertainty (95${THIN_SPACE}%) is ${percent(top.atCalibration.relativeExpandedPercent)} as calibrated and ${percent(top.atBench.relativeExpandedPercent)} at the bench` +
      (low === top
        ? '.'
        : `; at the lowest step ${percent(low.atCalibration.relativeExpandedPercent)} and ${percent(low.atBench.relativeExpandedPercent)}.`),
    `What limits it most at the bench: ${largestTerms(top)}.`,
    `${name}: ${classification.reason.sentence}`,
  ];
}

function largestTerms({ terms }: SenseResult['steps'][number]): string {
  const shares = sharesOf(terms);
  return terms
    .map(({ source }, index) => ({ source, share: shares[index] ?? 0 }))
    .sort((one, other) => other.share - one.share)
    .slice(0, 2)
    .map(({ source, share }) => `${source.toLowerCase()} (${formatNumber(100 * share, 0)}${THIN_SPACE}%)`)
    .join(' and ');
}

function percent(value: number): string {
  return `${formatNumber(value, value < 0.1 ? 3 : 2)}${THIN_SPACE}%`;
}
