import { expect, it } from 'vitest';
import { countsCsv } from '../../../../renderer/logbook/counts-csv.ts';

it('writes one row per sample and leaves out lost ones, whose places the index keeps', () => {
  const csv = countsCsv({ counts: Int32Array.of(5, 0, 0, -8, 9, 0), gaps: Int32Array.of(1, 2, 5, 1) });
  expect(csv).toBe('slot_index,raw_counts\r\n0,5\r\n3,-8\r\n4,9\r\n');
});

it('keeps a sample whose count is truly 0', () => {
  expect(countsCsv({ counts: Int32Array.of(0), gaps: new Int32Array(0) })).toBe(
    'slot_index,raw_counts\r\n0,0\r\n',
  );
});
