import type { TorqueUnit } from '../../shared-lib/api-contract.ts';
import { assertNever } from '../../shared-lib/assert-never.ts';
import type { CalibrationInput, GravityInput } from '../../shared-lib/calibration/calibration-model.ts';
import { formatNumber, withUnitNamed } from '../../shared-lib/format-quantity.ts';
import { STANDARD_GRAVITY_MPS2 } from '../../shared-lib/quantities.ts';
import type { QuantityReading } from '../ui/QuantityField.tsx';
import { quantityReader } from '../ui/read-quantity.ts';
import { FormReader, plainNumberReader } from '../ui/form-reader.ts';

export type Method = CalibrationInput['method'];

/** Everything as typed. The forms share the counts, so that changing the method loses no reading. */
export interface CalibrationForm {
  readonly method: Method;
  readonly zeroCounts: string;
  readonly forwardCounts: string;
  readonly reverseCounts: string;
  readonly forwardTorque: string;
  readonly reverseTorque: string;
  readonly mass: string;
  readonly materialDensity: string;
  readonly armLength: string;
  readonly armAngle: string;
  readonly gravitySource: GravityInput['source'];
  readonly gravity: string;
  readonly latitude: string;
  readonly height: string;
  readonly airDensity: string;
  readonly ratedOutput: string;
  readonly ratedTorque: string;
  readonly countsSign: '1' | '-1';
  readonly scaleKind: 'stated' | 'shunt';
  readonly countsPerMvPerV: string;
  readonly bridgeResistance: string;
  readonly shuntResistance: string;
  readonly shuntCounts: string;
}

export type CountsSlot = 'zeroCounts' | 'forwardCounts' | 'reverseCounts' | 'shuntCounts';

export const emptyCalibrationForm: CalibrationForm = {
  method: 'oneWeight',
  zeroCounts: '',
  forwardCounts: '',
  reverseCounts: '',
  forwardTorque: '',
  reverseTorque: '',
  mass: '',
  materialDensity: '7850',
  armLength: '',
  armAngle: '0',
  gravitySource: 'location',
  gravity: String(STANDARD_GRAVITY_MPS2),
  latitude: '',
  height: '',
  airDensity: '1.2',
  ratedOutput: '',
  ratedTorque: '',
  countsSign: '1',
  scaleKind: 'shunt',
  countsPerMvPerV: '',
  bridgeResistance: '350 Ω',
  shuntResistance: '',
  shuntCounts: '',
};

/** 8000 is the reference density of OIML R 111; the other two are common practice, no source. */
export const materialDensities = [
  { key: '8000', label: 'Stainless steel, 8000' },
  { key: '7850', label: 'Steel, 7850' },
  { key: '7200', label: 'Cast iron, 7200' },
] as const;

/** The ranges of the contract, so that a field says at once what the services would refuse. */
export const readers = {
  mass: quantityReader({ kind: 'mass', unit: 'kg', min: 0.001, max: 5000 }),
  materialDensity: quantityReader({ kind: 'density', unit: 'kgPerM3', min: 500, max: 25_000 }),
  armLength: quantityReader({ kind: 'length', unit: 'm', min: 0.001, max: 20 }),
  armAngle: quantityReader({ kind: 'angle', unit: 'deg', min: -30, max: 30 }),
  gravity: quantityReader({ kind: 'acceleration', unit: 'mPerS2', min: 9.7, max: 9.9 }),
  latitude: quantityReader({ kind: 'angle', unit: 'deg', min: -90, max: 90 }),
  height: quantityReader({ kind: 'length', unit: 'm', min: -500, max: 9000 }),
  airDensity: quantityReader({ kind: 'density', unit: 'kgPerM3', min: 0.5, max: 1.6 }),
  uncertainty: quantityReader({ kind: 'percent', unit: 'percent', min: 0, max: 100 }),
  ratedOutput: quantityReader({ kind: 'bridgeOutput', unit: 'mVPerV', min: 0.01, max: 20 }),
  bridgeResistance: quantityReader({ kind: 'resistance', unit: 'ohm', min: 10, max: 10_000 }),
  shuntResistance: quantityReader({ kind: 'resistance', unit: 'ohm', min: 100, max: 10_000_000 }),
  countsPerMvPerV: plainNumberReader(1, 1e9),
} as const;

export function torqueReader(unit: TorqueUnit): (typed: string) => QuantityReading {
  return quantityReader({ kind: 'torque', unit, min: 0.001, max: 1e6 });
}

/** As it means the same whatever unit of torque is shown; `unit` is the one it was typed in. */
export function withTorqueUnitNamed(form: CalibrationForm, unit: TorqueUnit): CalibrationForm {
  const named = (typed: string) => withUnitNamed(typed, 'torque', unit);
  return {
    ...form,
    forwardTorque: named(form.forwardTorque),
    reverseTorque: named(form.reverseTorque),
    ratedTorque: named(form.ratedTorque),
  };
}

/** Counts are whole numbers of the converter; spaces between groups of digits are allowed. */
export function readCounts(typed: string): QuantityReading {
  const text = typed.replace(/\s/g, '').replaceAll('\u2212', '-');
  const value = /^[+-]?\d+$/.test(text) ? Number(text) : NaN;
  if (!Number.isSafeInteger(value)) return { problem: 'Counts are a whole number, such as −123456.' };
  return { value, shown: `${formatNumber(value, 0)} counts` };
}

export type FormReading = { readonly input: CalibrationInput } | { readonly missing: readonly string[] };

/** The input for the services, or what is still needed in the order of the form. */
export function readCalibrationForm(form: CalibrationForm, unit: TorqueUnit): FormReading {
  const reader = new FormReader();
  const input = readInput(form, unit, reader);
  return reader.missing.length > 0 || input === null ? { missing: reader.missing } : { input };
}

function readInput(form: CalibrationForm, unit: TorqueUnit, reader: FormReader): CalibrationInput | null {
  switch (form.method) {
    case 'direct':
      return readDirect(form, unit, reader);
    case 'oneWeight':
      return readOneWeight(form, reader);
    case 'ratedOutput':
      return readRatedOutput(form, unit, reader);
    default:
      return assertNever(form.method, 'This method has no form');
  }
}

function readDirect(form: CalibrationForm, unit: TorqueUnit, reader: FormReader): CalibrationInput | null {
  const readTorque = torqueReader(unit);
  const zeroCounts = reader.needed('the counts without load', form.zeroCounts, readCounts);
  const sense = (name: string, torque: string, counts: string) => {
    if (torque.trim() === '' && counts.trim() === '') return null;
    return {
      torqueNm: reader.needed(`the ${name} torque`, torque, readTorque),
      counts: reader.needed(`the counts at the ${name} torque`, counts, readCounts),
    };
  };
  const forward = sense('forward', form.forwardTorque, form.forwardCounts);
  const reverse = sense('reverse', form.reverseTorque, form.reverseCounts);
  if (forward === null && reverse === null) {
    reader.missing.push('a torque and its counts, forward, reverse or both');
    return null;
  }
  return { method: 'direct', zeroCounts, forward, reverse };
}

function readOneWeight(form: CalibrationForm, reader: FormReader): CalibrationInput | null {
  const needed = {
    massKg: reader.needed('the mass', form.mass, readers.mass),
    materialDensityKgM3: reader.needed('the material', form.materialDensity, readers.materialDensity),
    armLengthM: reader.needed('the length of the arm', form.armLength, readers.armLength),
    armAngleDeg: reader.needed('the angle of the arm', form.armAngle, readers.armAngle),
    gravity: readGravity(form, reader),
    airDensityKgM3: reader.needed('the air density', form.airDensity, readers.airDensity),
    zeroCounts: reader.needed('the counts with the bare arm', form.zeroCounts, readCounts),
  };
  const forwardCounts = reader.optional('the forward counts', form.forwardCounts, readCounts);
  const reverseCounts = reader.optional('the reverse counts', form.reverseCounts, readCounts);
  if (forwardCounts === null && reverseCounts === null) {
    reader.missing.push('the counts with the weight, forward, reverse or both');
    return null;
  }
  return { method: 'oneWeight', ...needed, forwardCounts, reverseCounts };
}

function readRatedOutput(form: CalibrationForm, unit: TorqueUnit, reader: FormReader): CalibrationInput {
  return {
    method: 'ratedOutput',
    ratedOutputMvPerV: reader.needed('the rated output', form.ratedOutput, readers.ratedOutput),
    capacityNm: reader.needed('the torque of the rated output', form.ratedTorque, torqueReader(unit)),
    zeroCounts: reader.needed('the counts without load', form.zeroCounts, readCounts),
    countsSign: form.countsSign === '1' ? 1 : -1,
    scale:
      form.scaleKind === 'stated'
        ? {
            kind: 'stated',
            countsPerMvPerV: reader.needed(
              'the counts per mV/V',
              form.countsPerMvPerV,
              readers.countsPerMvPerV,
            ),
          }
        : {
            kind: 'shunt',
            bridgeOhm: reader.needed(
              'the resistance of the bridge',
              form.bridgeResistance,
              readers.bridgeResistance,
            ),
            shuntOhm: reader.needed(
              'the resistance of the shunt',
              form.shuntResistance,
              readers.shuntResistance,
            ),
            shuntCounts: reader.needed('the counts with the shunt', form.shuntCounts, readCounts),
          },
  };
}

function readGravity(form: CalibrationForm, reader: FormReader): GravityInput {
  return form.gravitySource === 'entered'
    ? { source: 'entered', gravityMps2: reader.needed('gravity', form.gravity, readers.gravity) }
    : {
        source: 'location',
        latitudeDeg: reader.needed('the latitude', form.latitude, readers.latitude),
        heightM: reader.needed('the height above the sea', form.height, readers.height),
      };
}
