import { describe, expect, it } from 'vitest';
import { calibrationInputSchema } from '../../../../shared-lib/calibration/calibration-model.ts';
import {
  type CalibrationForm,
  emptyCalibrationForm,
  readCalibrationForm,
  readCounts,
  withTorqueUnitNamed,
} from '../../../../renderer/calibrate/calibration-form.ts';

const oneWeight: CalibrationForm = {
  ...emptyCalibrationForm,
  mass: '45 lb',
  armLength: '24 in',
  latitude: '52,5',
  height: '80 m',
  zeroCounts: '120',
  forwardCounts: '250 120',
  reverseCounts: '−249880',
};
const direct: CalibrationForm = {
  ...emptyCalibrationForm,
  method: 'direct',
  zeroCounts: '-5',
  forwardTorque: '100 ft·lbf',
  forwardCounts: '1000000',
};

function inputOf(form: CalibrationForm) {
  const reading = readCalibrationForm(form, 'Nm');
  return 'input' in reading ? reading.input : reading.missing;
}

describe('one-weight form', () => {
  it('becomes an input in kg, m and degrees that the services take', () => {
    const input = inputOf(oneWeight);
    expect(calibrationInputSchema.parse(input)).toEqual({
      method: 'oneWeight',
      // 45 x 0.45359237 and 24 x 0.0254, both exact definitions.
      massKg: 20.41165665,
      materialDensityKgM3: 7850,
      armLengthM: expect.closeTo(0.6096, 12),
      armAngleDeg: 0,
      gravity: { source: 'location', latitudeDeg: 52.5, heightM: 80 },
      airDensityKgM3: 1.2,
      zeroCounts: 120,
      forwardCounts: 250_120,
      reverseCounts: -249_880,
    });
  });

  it('takes one sense alone', () => {
    expect(inputOf({ ...oneWeight, reverseCounts: '' })).toMatchObject({
      forwardCounts: 250_120,
      reverseCounts: null,
    });
  });

  it('takes gravity as it was entered and then needs no place', () => {
    const form = {
      ...oneWeight,
      gravitySource: 'entered',
      gravity: '9.8126',
      latitude: '',
      height: '',
    } as const;
    expect(inputOf(form)).toMatchObject({ gravity: { source: 'entered', gravityMps2: 9.8126 } });
  });

  it('names what is missing in the order of the form', () => {
    expect(inputOf(emptyCalibrationForm)).toEqual([
      'the mass',
      'the length of the arm',
      'the latitude',
      'the height above the sea',
      'the counts with the bare arm',
      'the counts with the weight, forward, reverse or both',
    ]);
  });

  it('asks for a reading again that was typed but cannot be read, instead of leaving it out', () => {
    expect(inputOf({ ...oneWeight, reverseCounts: '12.5' })).toEqual(['the reverse counts']);
  });
});

describe('direct form', () => {
  it('converts the torque and leaves the sense that was not filled in empty', () => {
    expect(calibrationInputSchema.parse(inputOf(direct))).toEqual({
      method: 'direct',
      zeroCounts: -5,
      forward: { torqueNm: expect.closeTo(135.58179483314004, 10), counts: 1_000_000 },
      reverse: null,
    });
  });

  it('takes a torque without a unit in the unit that is shown', () => {
    const reading = readCalibrationForm({ ...direct, forwardTorque: '100' }, 'ftLbf');
    expect(reading).toMatchObject({
      input: { forward: { torqueNm: expect.closeTo(135.58179483314004, 10) } },
    });
  });

  it('wants the counts of a torque that was entered', () => {
    expect(inputOf({ ...direct, forwardCounts: '' })).toEqual(['the counts at the forward torque']);
  });

  it('wants at least one sense', () => {
    expect(inputOf({ ...direct, forwardTorque: '', forwardCounts: '' })).toEqual([
      'a torque and its counts, forward, reverse or both',
    ]);
  });
});

describe('counts', () => {
  it.each([
    ['-123456', -123456],
    ['−123 456', -123456],
    ['0', 0],
  ] as const)('reads "%s"', (typed, value) => {
    expect(readCounts(typed)).toMatchObject({ value });
  });

  it.each(['12.5', '1e6', '0x10', 'abc', '99999999999999999999'])('refuses "%s"', (typed) => {
    expect(readCounts(typed)).toHaveProperty('problem');
  });
});

describe('rated-output form', () => {
  const ratedOutput: CalibrationForm = {
    ...emptyCalibrationForm,
    method: 'ratedOutput',
    ratedOutput: '2,01 mV/V',
    ratedTorque: '1000 ft·lbf',
    zeroCounts: '-12',
    countsSign: '-1',
    bridgeResistance: '350',
    shuntResistance: '100 kΩ',
    shuntCounts: '1 750 000',
  };

  it('takes the shunt in ohms and the torque in N·m', () => {
    expect(calibrationInputSchema.parse(inputOf(ratedOutput))).toEqual({
      method: 'ratedOutput',
      ratedOutputMvPerV: 2.01,
      capacityNm: expect.closeTo(1355.8179483314004, 9),
      zeroCounts: -12,
      countsSign: -1,
      scale: { kind: 'shunt', bridgeOhm: 350, shuntOhm: 100_000, shuntCounts: 1_750_000 },
    });
  });

  it('takes the scale that the maker states and then needs no shunt', () => {
    const stated = {
      ...ratedOutput,
      scaleKind: 'stated',
      countsPerMvPerV: '2000000',
      shuntCounts: '',
    } as const;
    expect(inputOf(stated)).toMatchObject({ scale: { kind: 'stated', countsPerMvPerV: 2_000_000 } });
  });

  it('names what is missing in the order of the form', () => {
    expect(inputOf({ ...emptyCalibrationForm, method: 'ratedOutput' })).toEqual([
      'the rated output',
      'the torque of the rated output',
      'the counts without load',
      'the resistance of the shunt',
      'the counts with the shunt',
    ]);
  });
});

describe('what was typed before the unit of torque was switched', () => {
  const typed: CalibrationForm = {
    ...direct,
    forwardTorque: '200',
    forwardCounts: '800000',
    reverseTorque: '150 ft·lbf',
    reverseCounts: '-813000',
    ratedOutput: '2',
    ratedTorque: '1500',
    shuntResistance: '100 kΩ',
    shuntCounts: '1750000',
  };
  const methods = ['direct', 'ratedOutput', 'oneWeight'] as const;

  it.each(methods)('means the same afterwards, with a unit or without: %s', (method) => {
    const form = { ...typed, ...(method === 'oneWeight' ? oneWeight : {}), method };
    for (const [from, to] of [
      ['Nm', 'ftLbf'],
      ['ftLbf', 'Nm'],
    ] as const) {
      expect(readCalibrationForm(withTorqueUnitNamed(form, from), to)).toEqual(
        readCalibrationForm(form, from),
      );
    }
  });

  it('stays as it was typed where it cannot be read', () => {
    expect(withTorqueUnitNamed({ ...typed, forwardTorque: '1,200' }, 'Nm').forwardTorque).toBe('1,200');
  });
});
