import fc from 'fast-check';
import { expect, it } from 'vitest';
import { daysAt, millisecondsOf } from '../../../shared-lib/instants.ts';

const instants = fc.date({
  min: new Date('1970-01-01T00:00:00.000Z'),
  max: new Date('2400-12-31T00:00:00.000Z'),
  noInvalidDate: true,
});

it('counts the milliseconds of an instant as Date does', () => {
  fc.assert(fc.property(instants, (date) => millisecondsOf(date.toISOString()) === date.getTime()));
  expect(millisecondsOf('2024-02-29T23:59:59.999Z')).toBe(Date.parse('2024-02-29T23:59:59.999Z'));
  expect(millisecondsOf('yesterday')).toBeNull();
});

it('names the days that it can be at an instant between the farthest time zones, that of universal time first', () => {
  expect(daysAt('2026-03-01T05:00:00.000Z')).toEqual(['2026-03-01', '2026-02-28']);
  expect(daysAt('2026-12-31T18:00:00.000Z')).toEqual(['2026-12-31', '2027-01-01']);
  expect(daysAt('2026-06-15T11:00:00.000Z')).toEqual(['2026-06-15', '2026-06-14', '2026-06-16']);
  fc.assert(
    fc.property(instants, (date) => {
      const dayIn = (hours: number): string =>
        new Date(date.getTime() + hours * 3_600_000).toISOString().slice(0, 10);
      expect(new Set(daysAt(date.toISOString()))).toEqual(new Set([dayIn(0), dayIn(-12), dayIn(14)]));
    }),
  );
});
