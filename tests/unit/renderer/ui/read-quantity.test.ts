import { describe, expect, it } from 'vitest';
import { THIN_SPACE } from '../../../../shared-lib/format-quantity.ts';
import { quantityReader } from '../../../../renderer/ui/read-quantity.ts';

const readMass = quantityReader({ kind: 'mass', unit: 'kg', min: 0, max: 5000, isMinExcluded: true });
const readAngle = quantityReader({ kind: 'angle', unit: 'deg', min: -30, max: 30 });
const plain = (text: string) => text.replaceAll(THIN_SPACE, ' ');

describe('reading a typed quantity', () => {
  it('converts the typed unit and shows what it became', () => {
    const reading = readMass('45 lb');
    // 45 lb = 45 x 0.45359237 kg exactly (international pound).
    expect(reading).toMatchObject({ value: 20.41165665 });
    expect('shown' in reading && plain(reading.shown)).toBe('20.4117 kg');
  });

  it('takes a number without a unit in the unit of the field', () => {
    const reading = readMass('2,5');
    expect(reading).toMatchObject({ value: 2.5 });
    expect('shown' in reading && plain(reading.shown)).toBe('2.5 kg');
  });

  it('names the range when a number is outside it', () => {
    const reading = readAngle('31');
    expect('problem' in reading && plain(reading.problem)).toBe('This takes −30° to 30°.');
  });

  it('takes both ends of a closed range', () => {
    expect(readAngle('-30')).toMatchObject({ value: -30 });
    expect(readAngle('30')).toMatchObject({ value: 30 });
  });

  it('refuses the lower end of an open range, naming it', () => {
    const reading = readMass('0');
    expect('problem' in reading && plain(reading.problem)).toBe('This takes more than 0 kg, up to 5000 kg.');
  });

  it('passes on why a text is no quantity', () => {
    expect(readMass('20 m')).toHaveProperty('problem');
  });
});
