import type { Arm, Site, StatedUncertainty, Weight } from '../standards-model.ts';
import type { RunSetup } from '../run-model.ts';
import { formatNumber, THIN_SPACE, type UnitId } from '../../format-quantity.ts';
import { formatSignificant } from '../../format-significant.ts';

export type CertificateState = 'none' | 'open' | 'valid' | 'outOfDate';

/** A certificate holds up to and including its last day. Days are text of the form 2026-03-31. */
export function certificateState(
  { certificate, certificateValidUntil }: Pick<Weight, 'certificate' | 'certificateValidUntil'>,
  today: string,
): CertificateState {
  if (certificateValidUntil !== null) return certificateValidUntil < today ? 'outOfDate' : 'valid';
  return certificate === '' ? 'none' : 'open';
}

export function certificateWords(
  weight: Pick<Weight, 'certificate' | 'certificateValidUntil'>,
  today: string,
  formatDay: (day: string) => string,
): string {
  const lastDay = weight.certificateValidUntil === null ? '' : formatDay(weight.certificateValidUntil);
  const name = weight.certificate === '' ? 'Certificate' : `Certificate ${weight.certificate}`;
  switch (certificateState(weight, today)) {
    case 'none':
      return 'no certificate';
    case 'open':
      return `${name}, no last day named`;
    case 'valid':
      return `${name}, valid until ${lastDay}`;
    case 'outOfDate':
      return `${name} is out of date: its last day was ${lastDay}`;
  }
}

export function statedWords(stated: StatedUncertainty, unit: UnitId): string {
  return stated.kind === 'limit'
    ? `±${formatSignificant(stated.limit, unit)} as a limit`
    : `U = ${formatSignificant(stated.expanded, unit)} (k = ${formatNumber(stated.coverageFactor, decimalsOf(stated.coverageFactor))})`;
}

export function weightWords(weight: Weight): string {
  const tolerance =
    weight.tolerance.kind === 'class'
      ? `class ${weight.tolerance.weightClass}`
      : statedWords(weight.tolerance.uncertaintyKg, 'g');
  return `${formatSignificant(weight.massKg, 'kg')}, ${tolerance}, ${formatSignificant(weight.densityKgM3, 'kgPerM3')}`;
}

export function armWords(arm: Arm): string {
  const own =
    arm.own === null
      ? 'zero taken with the bare arm'
      : `own weight ${formatSignificant(arm.own.massKg, 'kg')} at ${formatSignificant(arm.own.centreOfMassM, 'm')} counted`;
  return (
    `${formatSignificant(arm.lengthM, 'm')}, ${statedWords(arm.lengthUncertaintyM, 'mm')}, ` +
    `${formatSignificant(arm.angleDeg, 'deg')} within ±${formatSignificant(arm.angleLimitDeg, 'deg')}, ${own}`
  );
}

export function siteWords(site: Site): string {
  const gravity =
    site.gravity.source === 'entered'
      ? `gravity ${formatNumber(site.gravity.gravityMps2, 5)}${THIN_SPACE}m/s² as entered`
      : `gravity from latitude ${formatSignificant(site.gravity.latitudeDeg, 'deg')} and height ${formatSignificant(site.gravity.heightM, 'm')}`;
  return `${gravity}, ${airWords(site)}`;
}

function airWords({ air }: Site): string {
  switch (air.source) {
    case 'standard':
      return `air at 1.2${THIN_SPACE}kg/m³`;
    case 'entered':
      return `air at ${formatSignificant(air.densityKgM3, 'kgPerM3')} as entered`;
    case 'measured':
      return (
        `air at ${formatSignificant(air.temperatureC, 'degC')}, ${formatSignificant(air.pressureHpa, 'hPa')}, ` +
        `${formatSignificant(air.humidityPercent, 'percent')} humidity`
      );
  }
}

function decimalsOf(value: number): number {
  return String(value).split('.')[1]?.length ?? 0;
}

/** "20 kg B" after "20 kg A", "Disc 3" after "Disc 2"; else with a number behind it. */
export function nextName(name: string, taken: readonly string[]): string {
  const isFree = (candidate: string) => !taken.includes(candidate);
  const digits = /^(.*?)(\d+)$/.exec(name);
  const letter = /^(.*\s)([A-Y])$/.exec(name);
  let candidate = name;
  for (let step = 1; step <= 1000; step += 1) {
    if (digits !== null) candidate = `${digits[1] ?? ''}${Number(digits[2]) + step}`;
    else if (letter !== null && (letter[2]?.charCodeAt(0) ?? 0) + step <= 90) {
      candidate = `${letter[1] ?? ''}${String.fromCharCode((letter[2] ?? 'A').charCodeAt(0) + step)}`;
    } else candidate = `${name} ${step + 1}`;
    if (isFree(candidate)) return candidate;
  }
  return candidate;
}

/** Each weight once, in the order in which they were first hung. */
export function weightsUsed(levels: RunSetup['levels']): Weight[] {
  return [...new Map(levels.flat().map((weight) => [weight.id, weight])).values()];
}
