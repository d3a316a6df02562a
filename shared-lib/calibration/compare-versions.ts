import type { RequestResult } from '../api-contract.ts';
import { formatNumber, formatTorqueInBothUnits, THIN_SPACE } from '../format-quantity.ts';
import type { Direction } from '../trial/step-model.ts';
import { createTorqueConverter } from './apply-calibration.ts';
import type { CalibrationVersion } from './calibration-model.ts';
import type { CalibrationResult } from './result-model.ts';
import { senseNames } from './run-findings.ts';
import { expandedUncertaintyNm } from './uncertainty-at.ts';

export interface ComparedVersion {
  readonly version: CalibrationVersion;
  /** Of the run behind it; null where it was entered. */
  readonly result: CalibrationResult | null;
}

type Comparison = RequestResult<'compareCalibrations'>;
type ComparedPoint = Comparison['points'][number];

const POINTS = 20;
const senses: readonly Direction[] = ['forward', 'reverse'];

/**
 * What `other` reads where `one` reads a torque, over the range that both cover, in percent, beside the joint expanded
 * uncertainty sqrt(U1^2 + U2^2) as calibrated.
 */
export function compareVersions(one: ComparedVersion, other: ComparedVersion): Comparison {
  const points: ComparedPoint[] = [];
  const sentences: string[] = [];
  for (const sense of senses) {
    const [own, its] = [one.version[sense], other.version[sense]];
    if (own === null || its === null) {
      if (own !== its) {
        const { label } = own === null ? one.version : other.version;
        sentences.push(`${senseNames[sense]} is not calibrated in “${label}”, so it cannot be compared.`);
      }
      continue;
    }
    const ofSense = compareSense(one, other, sense, Math.min(own.validToNm, its.validToNm));
    points.push(...ofSense);
    sentences.push(describe(sense, ofSense));
  }
  return { points, sentences };
}

function compareSense(
  one: ComparedVersion,
  other: ComparedVersion,
  sense: Direction,
  greatestNm: number,
): ComparedPoint[] {
  const sign = sense === 'forward' ? 1 : -1;
  const converter = (version: CalibrationVersion) =>
    createTorqueConverter({ calibration: version, zeroCounts: 0, senseSign: 1 });
  const [ownConverter, itsConverter] = [converter(one.version), converter(other.version)];
  return Array.from({ length: POINTS }, (_, index) => {
    const torqueNm = (greatestNm * (index + 1)) / POINTS;
    const counts = ownConverter.toCounts(sign * torqueNm);
    const difference = itsConverter.toTorqueNm(counts) - sign * torqueNm;
    const uncertainties = [one, other].map((compared) => uncertaintyPercent(compared, sense, torqueNm));
    return {
      sense,
      torqueNm,
      differencePercent: (100 * sign * difference) / torqueNm,
      jointUncertaintyPercent: uncertainties.includes(null)
        ? null
        : Math.hypot(...uncertainties.map((value) => value ?? 0)),
    };
  });
}

function uncertaintyPercent(
  { version, result }: ComparedVersion,
  sense: Direction,
  torqueNm: number,
): number | null {
  const ofSense = result?.senses.find((candidate) => candidate.sense === sense);
  if (ofSense === undefined) return version.enteredUncertaintyPercent;
  return (100 * expandedUncertaintyNm(ofSense, torqueNm, 'calibration')) / torqueNm;
}

function describe(sense: Direction, points: readonly ComparedPoint[]): string {
  const percent = (value: number): string => `${formatNumber(value, 2)}${THIN_SPACE}%`;
  const [greatest] = [...points].sort(
    (one, other) => Math.abs(other.differencePercent) - Math.abs(one.differencePercent),
  );
  if (greatest === undefined) return `${senseNames[sense]} cannot be compared.`;
  const facts = `${senseNames[sense]}: the other version reads up to ${percent(greatest.differencePercent)} differently (at ${formatTorqueInBothUnits(greatest.torqueNm, 1)})`;
  if (greatest.jointUncertaintyPercent === null) {
    return `${facts}. At least one of the two states no uncertainty, so whether they agree cannot be said.`;
  }
  const beyond = points.filter(
    ({ differencePercent, jointUncertaintyPercent }) =>
      jointUncertaintyPercent !== null && Math.abs(differencePercent) > jointUncertaintyPercent,
  );
  if (beyond.length === 0)
    return `${facts}, which lies within their joint uncertainty (95${THIN_SPACE}%): they agree.`;
  return `${facts}. At ${beyond.length} of ${points.length} torques that is more than their joint uncertainty (95${THIN_SPACE}%): something changed between them.`;
}
