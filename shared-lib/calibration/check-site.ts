import { formatNumber, formatQuantity } from '../format-quantity.ts';
import { STANDARD_GRAVITY_MPS2 } from '../quantities.ts';
import { airDensityFrom, STANDARD_AIR_KG_M3, STANDARD_AIR_LIMIT } from './air-density.ts';
import { NORMAL_GRAVITY_LIMIT_MPS2 } from './applied-torque.ts';
import type { Finding } from './result-model.ts';
import type { AirInput, Site } from './standards-model.ts';
import { standardUncertaintyOf } from './weight-limits.ts';

/** No place on the ground has less or more, with some margin (from memory: 9.764 to 9.834). */
const GRAVITY_ON_THE_GROUND_MPS2 = { from: 9.76, to: 9.84 } as const;
/** Ours: half of what lies between poles and equator; whoever states so much knows that the value is a convention. */
const STANDARD_GRAVITY_SPREAD_MPS2 = 0.025;
/** Ours: weather moves the pressure of a place by some 4 % and the density of its air by some 8 %. */
const PRESSURE_SHARE = 0.06;
const ENTERED_AIR_SHARE = 0.15;

/** What gravity and air of a place give to look at. */
export function siteFindings({ name, gravity, gravityUncertaintyMps2: stated, air }: Site): Finding[] {
  const heightM = gravity.source === 'location' ? gravity.heightM : null;
  return [
    ...gravityUncertaintyFindings({ name, gravity, gravityUncertaintyMps2: stated }),
    ...(gravity.source === 'entered' ? gravityValueFindings(name, gravity.gravityMps2, stated) : []),
    ...(heightM === null ? [] : airFindings(name, air, heightM)),
  ];
}

function find(code: string, severity: Finding['severity'], sentence: string): Finding {
  return { code, severity, sense: null, sentence };
}

function gravityUncertaintyFindings({
  name,
  gravity,
  gravityUncertaintyMps2: stated,
}: Pick<Site, 'name' | 'gravity' | 'gravityUncertaintyMps2'>): Finding[] {
  if (stated !== null && stated.kind === 'limit' && stated.limit === 0) {
    return [
      find(
        'gravity-without-uncertainty',
        'look',
        `Gravity at “${name}” has an uncertainty of 0, which no value has. State how well it is known.`,
      ),
    ];
  }
  if (stated !== null || gravity.source === 'location') return [];
  return [
    find(
      'gravity-unstated',
      'look',
      `Gravity at “${name}” is entered without an uncertainty; ±${formatQuantity(NORMAL_GRAVITY_LIMIT_MPS2, 'mPerS2', 4)} is taken, which is the limit of normal gravity from latitude and height (from memory). State how well the entered value is known.`,
    ),
  ];
}

function gravityValueFindings(
  name: string,
  gravityMps2: number,
  stated: Site['gravityUncertaintyMps2'],
): Finding[] {
  const { from, to } = GRAVITY_ON_THE_GROUND_MPS2;
  if (gravityMps2 < from || gravityMps2 > to) {
    return [
      find(
        'gravity-implausible',
        'look',
        `Gravity at “${name}” is entered as ${formatQuantity(gravityMps2, 'mPerS2', 4)}; on the ground it lies between ${formatNumber(from, 2)} and ${formatQuantity(to, 'mPerS2', 2)} everywhere (from memory). Correct it, or take it from latitude and height.`,
      ),
    ];
  }
  const standardMps2 = stated === null ? 0 : standardUncertaintyOf(stated).standard;
  const isTakenForLocal =
    Math.abs(gravityMps2 - STANDARD_GRAVITY_MPS2) < 5e-6 &&
    standardMps2 < STANDARD_GRAVITY_SPREAD_MPS2 / Math.sqrt(3);
  if (!isTakenForLocal) return [];
  return [
    find(
      'standard-gravity',
      'look',
      `Gravity at “${name}” is entered as ${formatQuantity(gravityMps2, 'mPerS2', 5)}, standard gravity: a convention, from which places differ by up to 0.3 %. Was it measured there? If not, take it from latitude and height.`,
    ),
  ];
}

/** Buoyancy is some 0.015 % of the torque, so that even air that is far off hardly counts: notes. */
function airFindings(name: string, air: AirInput, heightM: number): Finding[] {
  const usual = standardAtmosphere(heightM);
  const height = formatQuantity(heightM, 'm', 0);
  if (air.source === 'measured') {
    if (Math.abs(air.pressureHpa / usual.pressureHpa - 1) <= PRESSURE_SHARE) return [];
    return [
      find(
        'pressure-unlike-height',
        'note',
        `The pressure at “${name}” is entered as ${formatQuantity(air.pressureHpa, 'hPa', 0)}; at ${height} some ${formatQuantity(usual.pressureHpa, 'hPa', 0)} are usual. Was it reduced to sea level, as weather reports state it? Enter the pressure that a barometer shows in the room.`,
      ),
    ];
  }
  const { densityKgM3 } = airDensityFrom(air);
  const share = air.source === 'standard' ? STANDARD_AIR_LIMIT : ENTERED_AIR_SHARE;
  if (Math.abs(usual.densityKgM3 / densityKgM3 - 1) <= share) return [];
  return [
    find(
      'air-unlike-height',
      'note',
      air.source === 'standard'
        ? `At ${height} air has some ${formatQuantity(usual.densityKgM3, 'kgPerM3', 2)}; standard air is ${formatQuantity(STANDARD_AIR_KG_M3, 'kgPerM3', 1)} within ${formatNumber(100 * STANDARD_AIR_LIMIT, 0)} %, so “${name}” lies outside what stands in the uncertainty. Enter temperature, pressure and humidity.`
        : `The air at “${name}” is entered as ${formatQuantity(densityKgM3, 'kgPerM3', 2)}; at ${height} some ${formatQuantity(usual.densityKgM3, 'kgPerM3', 2)} are usual. Check it, or enter temperature, pressure and humidity.`,
    ),
  ];
}

/** Pressure and density of the international standard atmosphere below 11 km (textbooks, from memory). */
export function standardAtmosphere(heightM: number): { pressureHpa: number; densityKgM3: number } {
  const temperatureShare = 1 - (0.0065 * heightM) / 288.15;
  return {
    pressureHpa: 1013.25 * temperatureShare ** 5.25588,
    densityKgM3: 1.225 * temperatureShare ** 4.25588,
  };
}
