import { describe, expect, it } from 'vitest';
import {
  armForm,
  emptyArmForm,
  emptySiteForm,
  emptyWeightForm,
  readArmForm,
  readSiteForm,
  readWeightForm,
  siteForm,
  weightForm,
} from '../../../../../renderer/calibrate/standards/standards-form.ts';
import { demoStandards } from '../../../../../renderer/calibrate/standards/demo-standards.ts';
import {
  certificateState,
  certificateWords,
  nextName,
  weightWords,
} from '../../../../../shared-lib/calibration/words/standards-sentences.ts';
import { emptyStatedUncertainty } from '../../../../../renderer/calibrate/standards/stated-uncertainty-form.ts';
import {
  armSchema,
  siteSchema,
  standardSchema,
  weightSchema,
} from '../../../../../shared-lib/calibration/standards-model.ts';

const certificate = (expanded: string) =>
  ({ ...emptyStatedUncertainty, kind: 'certificate', expanded, coverageFactor: '2,5' }) as const;

describe('weight', () => {
  const typed = {
    ...emptyWeightForm,
    name: ' 45 lb A ',
    mass: '45 lb',
    toleranceKind: 'own',
    own: certificate('0,5 g'),
    certificate: 'K 17',
    validUntil: '2026-12-31',
  } as const;

  it('is stored in kg, with U and k as they were typed', () => {
    const reading = readWeightForm(typed, 'w1');
    expect('value' in reading && weightSchema.parse(reading.value)).toEqual({
      id: 'w1',
      name: '45 lb A',
      // 45 x 0.45359237 kg, exact by definition.
      massKg: 20.41165665,
      densityKgM3: 7850,
      tolerance: {
        kind: 'own',
        uncertaintyKg: { kind: 'certificate', expanded: 0.0005, coverageFactor: 2.5 },
      },
      certificate: 'K 17',
      certificateValidUntil: '2026-12-31',
    });
  });

  it('comes back into its form without a digit lost', () => {
    const reading = readWeightForm(typed, 'w1');
    if (!('value' in reading)) throw new Error(reading.missing.join());
    expect(readWeightForm(weightForm(reading.value), 'w1')).toEqual(reading);
  });

  it('names what is still needed', () => {
    expect(readWeightForm({ ...emptyWeightForm, toleranceKind: 'own' }, 'w1')).toEqual({
      missing: ['the name', 'the mass', 'the limit of the mass'],
    });
  });

  it('takes a limit without a unit in grams', () => {
    const reading = readWeightForm({ ...typed, own: { ...emptyStatedUncertainty, limit: '1' } }, 'w1');
    expect(reading).toMatchObject({ value: { tolerance: { uncertaintyKg: { limit: 0.001 } } } });
  });

  it('says in a line what it is', () => {
    const reading = readWeightForm({ ...emptyWeightForm, name: 'A', mass: '20' }, 'w1');
    if (!('value' in reading)) throw new Error(reading.missing.join());
    expect(weightWords(reading.value).replaceAll('\u202f', ' ')).toBe('20 kg, class M1, 7850 kg/m³');
  });
});

describe('certificate', () => {
  const until = (certificateValidUntil: string | null) => ({ certificate: 'K 17', certificateValidUntil });

  it('holds up to and including its last day', () => {
    expect(certificateState(until('2026-03-31'), '2026-03-31')).toBe('valid');
    expect(certificateState(until('2026-03-31'), '2026-04-01')).toBe('outOfDate');
    expect(certificateWords(until('2026-03-31'), '2026-04-01', (day) => `<${day}>`)).toBe(
      'Certificate K 17 is out of date: its last day was <2026-03-31>',
    );
  });

  it('may name no day, or not exist', () => {
    expect(certificateState(until(null), '2026-04-01')).toBe('open');
    expect(certificateState({ certificate: '', certificateValidUntil: null }, '2026-04-01')).toBe('none');
  });
});

describe('arm', () => {
  const typed = {
    ...emptyArmForm,
    name: 'Long arm',
    length: '24 in',
    lengthUncertainty: { ...emptyStatedUncertainty, limit: '0.2' },
  };

  it('is stored in metres, its limit taken in millimetres, its own weight left to the zero', () => {
    const reading = readArmForm(typed, 'a1');
    expect('value' in reading && armSchema.parse(reading.value)).toEqual({
      id: 'a1',
      name: 'Long arm',
      lengthM: expect.closeTo(0.6096, 12),
      lengthUncertaintyM: { kind: 'limit', limit: expect.closeTo(0.0002, 15) },
      angleDeg: 0,
      angleLimitDeg: 1,
      own: null,
    });
  });

  it('needs mass and centre where the zero is taken without it', () => {
    expect(readArmForm({ ...typed, isInZero: false }, 'a1')).toEqual({
      missing: ['the mass of the arm', 'its centre of gravity'],
    });
  });

  it('comes back into its form without a digit lost', () => {
    const own = { ...typed, isInZero: false, ownMass: '1.5 kg', ownCentre: '-30 cm' };
    const reading = readArmForm(own, 'a1');
    if (!('value' in reading)) throw new Error(reading.missing.join());
    expect(readArmForm(armForm(reading.value), 'a1')).toEqual(reading);
  });
});

describe('place', () => {
  const located = { ...emptySiteForm, name: 'Workshop', latitude: '52,5', height: '260 ft' };

  it('leaves to the program what is known of normal gravity', () => {
    expect(readSiteForm(located, 's1')).toEqual({
      value: {
        id: 's1',
        name: 'Workshop',
        gravity: { source: 'location', latitudeDeg: 52.5, heightM: expect.closeTo(79.248, 9) },
        gravityUncertaintyMps2: null,
        air: { source: 'standard' },
      },
    });
  });

  it('wants to know how well gravity was measured that was entered', () => {
    expect(readSiteForm({ ...located, gravitySource: 'entered', gravity: '9.8126' }, 's1')).toEqual({
      missing: ['the limit of gravity'],
    });
  });

  it('takes measured air and comes back into its form', () => {
    const measured = {
      ...located,
      airSource: 'measured',
      temperature: '21,5 °C',
      pressure: '100.5 kPa',
      humidity: '45',
    } as const;
    const reading = readSiteForm(measured, 's1');
    if (!('value' in reading)) throw new Error(reading.missing.join());
    expect(siteSchema.parse(reading.value).air).toEqual({
      source: 'measured',
      temperatureC: 21.5,
      pressureHpa: 1005,
      humidityPercent: 45,
    });
    expect(readSiteForm(siteForm(reading.value), 's1')).toEqual(reading);
  });
});

describe('names and demo', () => {
  it('goes on with the next letter or number', () => {
    expect(nextName('20 kg A', ['20 kg A'])).toBe('20 kg B');
    expect(nextName('Disc 2', ['Disc 2', 'Disc 3'])).toBe('Disc 4');
    expect(nextName('Hanger', ['Hanger'])).toBe('Hanger 2');
  });

  it('is marked as demo, every piece, and is what the contract takes', () => {
    let count = 0;
    const standards = demoStandards(() => `id-${(count += 1)}`);
    for (const standard of standards) {
      expect(JSON.stringify(standardSchema.parse(standard))).toContain('(demo)');
    }
    expect(new Set(standards.map((standard) => JSON.stringify(standard))).size).toBe(standards.length);
  });
});
