import { expect, it } from 'vitest';
import { withLevel, withoutLevel } from '../../../../renderer/setup/level-list.ts';

it('keeps levels in order and takes each only once', () => {
  expect(withLevel([200, 600], 400)).toEqual([200, 400, 600]);
  expect(withLevel([200, 400], 400)).toEqual([200, 400]);
});

it('removes a level and nothing else', () => {
  expect(withoutLevel([200, 400, 600], 400)).toEqual([200, 600]);
});
