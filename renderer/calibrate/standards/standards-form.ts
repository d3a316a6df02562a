import type { Arm, Site, Weight, WeightClass } from '../../../shared-lib/calibration/standards-model.ts';
import type { AirInput } from '../../../shared-lib/calibration/standards-model.ts';
import type { GravityInput } from '../../../shared-lib/calibration/calibration-model.ts';
import type { UnitId } from '../../../shared-lib/format-quantity.ts';
import { unitLabel } from '../../../shared-lib/format-quantity.ts';
import { quantityReader } from '../../ui/read-quantity.ts';
import { FormReader, type FormReading } from '../../ui/form-reader.ts';
import {
  emptyStatedUncertainty,
  readStatedUncertainty,
  statedUncertaintyForm,
  type StatedUncertaintyForm,
} from './stated-uncertainty-form.ts';

/** The ranges of the contract, so that a field says at once what the services would refuse. */
export const standardReaders = {
  mass: quantityReader({ kind: 'mass', unit: 'kg', min: 0.001, max: 5000 }),
  massUncertainty: quantityReader({ kind: 'mass', unit: 'g', min: 0, max: 5000 }),
  density: quantityReader({ kind: 'density', unit: 'kgPerM3', min: 500, max: 25_000 }),
  length: quantityReader({ kind: 'length', unit: 'm', min: 0.001, max: 20 }),
  lengthUncertainty: quantityReader({ kind: 'length', unit: 'mm', min: 0, max: 20 }),
  centre: quantityReader({ kind: 'length', unit: 'm', min: -20, max: 20 }),
  armMass: quantityReader({ kind: 'mass', unit: 'kg', min: 0, max: 1000, isMinExcluded: true }),
  angle: quantityReader({ kind: 'angle', unit: 'deg', min: -30, max: 30 }),
  angleLimit: quantityReader({ kind: 'angle', unit: 'deg', min: 0, max: 10 }),
  gravity: quantityReader({ kind: 'acceleration', unit: 'mPerS2', min: 9.7, max: 9.9 }),
  gravityUncertainty: quantityReader({ kind: 'acceleration', unit: 'mPerS2', min: 0, max: 0.1 }),
  latitude: quantityReader({ kind: 'angle', unit: 'deg', min: -90, max: 90 }),
  height: quantityReader({ kind: 'length', unit: 'm', min: -500, max: 9000 }),
  airDensity: quantityReader({ kind: 'density', unit: 'kgPerM3', min: 0.5, max: 1.6 }),
  temperature: quantityReader({ kind: 'temperature', unit: 'degC', min: -10, max: 50 }),
  pressure: quantityReader({ kind: 'pressure', unit: 'hPa', min: 500, max: 1100 }),
  humidity: quantityReader({ kind: 'percent', unit: 'percent', min: 0, max: 100 }),
} as const;

export interface WeightForm {
  readonly name: string;
  readonly mass: string;
  readonly density: string;
  readonly toleranceKind: 'class' | 'own';
  readonly weightClass: WeightClass;
  readonly own: StatedUncertaintyForm;
  readonly certificate: string;
  readonly validUntil: string;
}

export const emptyWeightForm: WeightForm = {
  name: '',
  mass: '',
  density: '7850',
  toleranceKind: 'class',
  weightClass: 'M1',
  own: emptyStatedUncertainty,
  certificate: '',
  validUntil: '',
};

export function readWeightForm(form: WeightForm, id: string): FormReading<Weight> {
  const reader = new FormReader();
  const weight: Weight = {
    id,
    name: reader.text('the name', form.name),
    massKg: reader.needed('the mass', form.mass, standardReaders.mass),
    densityKgM3: reader.needed('the density', form.density, standardReaders.density),
    tolerance:
      form.toleranceKind === 'class'
        ? { kind: 'class', weightClass: form.weightClass }
        : {
            kind: 'own',
            uncertaintyKg: readStatedUncertainty(
              form.own,
              'the mass',
              standardReaders.massUncertainty,
              reader,
            ),
          },
    certificate: form.certificate.trim(),
    certificateValidUntil: form.validUntil === '' ? null : form.validUntil,
  };
  return reader.missing.length > 0 ? { missing: reader.missing } : { value: weight };
}

export function weightForm(weight: Weight): WeightForm {
  const { tolerance } = weight;
  return {
    ...emptyWeightForm,
    name: weight.name,
    mass: typedIn(weight.massKg, 'kg'),
    density: String(weight.densityKgM3),
    ...(tolerance.kind === 'class'
      ? { toleranceKind: 'class', weightClass: tolerance.weightClass }
      : {
          toleranceKind: 'own',
          own: statedUncertaintyForm(tolerance.uncertaintyKg, (kg) => typedIn(kg, 'kg')),
        }),
    certificate: weight.certificate,
    validUntil: weight.certificateValidUntil ?? '',
  };
}

export interface ArmForm {
  readonly name: string;
  readonly length: string;
  readonly lengthUncertainty: StatedUncertaintyForm;
  readonly angle: string;
  readonly angleLimit: string;
  /** The zero is taken with the bare arm on, so the arm's own moment is in it. */
  readonly isInZero: boolean;
  readonly ownMass: string;
  readonly ownDensity: string;
  readonly ownCentre: string;
}

export const emptyArmForm: ArmForm = {
  name: '',
  length: '',
  lengthUncertainty: emptyStatedUncertainty,
  angle: '0',
  angleLimit: '1',
  isInZero: true,
  ownMass: '',
  ownDensity: '7850',
  ownCentre: '',
};

export function readArmForm(form: ArmForm, id: string): FormReading<Arm> {
  const reader = new FormReader();
  const arm: Arm = {
    id,
    name: reader.text('the name', form.name),
    lengthM: reader.needed('the length', form.length, standardReaders.length),
    lengthUncertaintyM: readStatedUncertainty(
      form.lengthUncertainty,
      'the length',
      standardReaders.lengthUncertainty,
      reader,
    ),
    angleDeg: reader.needed('the angle', form.angle, standardReaders.angle),
    angleLimitDeg: reader.needed('the limit of the angle', form.angleLimit, standardReaders.angleLimit),
    own: form.isInZero
      ? null
      : {
          massKg: reader.needed('the mass of the arm', form.ownMass, standardReaders.armMass),
          densityKgM3: reader.needed('the density of the arm', form.ownDensity, standardReaders.density),
          centreOfMassM: reader.needed('its centre of gravity', form.ownCentre, standardReaders.centre),
        },
  };
  return reader.missing.length > 0 ? { missing: reader.missing } : { value: arm };
}

export function armForm(arm: Arm): ArmForm {
  return {
    ...emptyArmForm,
    name: arm.name,
    length: typedIn(arm.lengthM, 'm'),
    lengthUncertainty: statedUncertaintyForm(arm.lengthUncertaintyM, (metres) => typedIn(metres, 'm')),
    angle: String(arm.angleDeg),
    angleLimit: String(arm.angleLimitDeg),
    ...(arm.own === null
      ? { isInZero: true }
      : {
          isInZero: false,
          ownMass: typedIn(arm.own.massKg, 'kg'),
          ownDensity: String(arm.own.densityKgM3),
          ownCentre: typedIn(arm.own.centreOfMassM, 'm'),
        }),
  };
}

export interface SiteForm {
  readonly name: string;
  readonly gravitySource: GravityInput['source'];
  readonly gravity: string;
  readonly latitude: string;
  readonly height: string;
  /** What is known of normal gravity by itself, or stated below; gravity that was entered is always stated. */
  readonly isGravityStated: boolean;
  readonly gravityUncertainty: StatedUncertaintyForm;
  readonly airSource: AirInput['source'];
  readonly airDensity: string;
  readonly temperature: string;
  readonly pressure: string;
  readonly humidity: string;
}

export const emptySiteForm: SiteForm = {
  name: '',
  gravitySource: 'location',
  gravity: '',
  latitude: '',
  height: '',
  isGravityStated: false,
  gravityUncertainty: emptyStatedUncertainty,
  airSource: 'standard',
  airDensity: '',
  temperature: '',
  pressure: '',
  humidity: '',
};

export function readSiteForm(form: SiteForm, id: string): FormReading<Site> {
  const reader = new FormReader();
  const site: Site = {
    id,
    name: reader.text('the name', form.name),
    gravity: readGravity(form, reader),
    gravityUncertaintyMps2:
      form.gravitySource === 'location' && !form.isGravityStated
        ? null
        : readStatedUncertainty(
            form.gravityUncertainty,
            'gravity',
            standardReaders.gravityUncertainty,
            reader,
          ),
    air: readAir(form, reader),
  };
  return reader.missing.length > 0 ? { missing: reader.missing } : { value: site };
}

function readGravity(form: SiteForm, reader: FormReader): GravityInput {
  return form.gravitySource === 'entered'
    ? { source: 'entered', gravityMps2: reader.needed('gravity', form.gravity, standardReaders.gravity) }
    : {
        source: 'location',
        latitudeDeg: reader.needed('the latitude', form.latitude, standardReaders.latitude),
        heightM: reader.needed('the height above the sea', form.height, standardReaders.height),
      };
}

function readAir(form: SiteForm, reader: FormReader): AirInput {
  switch (form.airSource) {
    case 'standard':
      return { source: 'standard' };
    case 'entered':
      return {
        source: 'entered',
        densityKgM3: reader.needed('the density of the air', form.airDensity, standardReaders.airDensity),
      };
    case 'measured':
      return {
        source: 'measured',
        temperatureC: reader.needed('the temperature', form.temperature, standardReaders.temperature),
        pressureHpa: reader.needed('the air pressure', form.pressure, standardReaders.pressure),
        humidityPercent: reader.needed('the humidity', form.humidity, standardReaders.humidity),
      };
  }
}

export function siteForm(site: Site): SiteForm {
  const { gravity, gravityUncertaintyMps2, air } = site;
  return {
    ...emptySiteForm,
    name: site.name,
    gravitySource: gravity.source,
    ...(gravity.source === 'entered'
      ? { gravity: String(gravity.gravityMps2) }
      : { latitude: String(gravity.latitudeDeg), height: typedIn(gravity.heightM, 'm') }),
    isGravityStated: gravityUncertaintyMps2 !== null,
    gravityUncertainty:
      gravityUncertaintyMps2 === null
        ? emptyStatedUncertainty
        : statedUncertaintyForm(gravityUncertaintyMps2, String),
    airSource: air.source,
    ...(air.source === 'entered' ? { airDensity: String(air.densityKgM3) } : {}),
    ...(air.source === 'measured'
      ? {
          temperature: String(air.temperatureC),
          pressure: String(air.pressureHpa),
          humidity: String(air.humidityPercent),
        }
      : {}),
  };
}

/** A stored value as it could have been typed, every digit of it. */
function typedIn(value: number, unit: UnitId): string {
  return `${value} ${unitLabel(unit)}`;
}
