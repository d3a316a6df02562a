import { expect, it } from 'vitest';
import { commonRows } from '../../../../shared-lib/report/common-rows.ts';
import { facts, section, table } from '../../../../shared-lib/report/report-blocks.ts';

const row = (name: string, value: string) => ({ name, value });

it('says once what all trials share, and side by side what differs, the commonest first', () => {
  expect(
    commonRows([
      [row('Pack', 'pack 1'), row('Setting', '2')],
      [row('Pack', 'pack 1'), row('Setting', '3')],
      [row('Pack', 'pack 1'), row('Setting', '3')],
    ]),
  ).toEqual([row('Pack', 'pack 1'), row('Setting', '3 (2 trials); 2 (1 trial)')]);
});

it('says for how many trials a value was not noted, rather than passing it off as one of all', () => {
  expect(commonRows([[row('Lubricant', 'paste')], []])).toEqual([
    row('Lubricant', 'paste (1 trial); not noted for 1 trial'),
  ]);
});

it('counts values that are too many to be listed', () => {
  const [pack] = commonRows(Array.from({ length: 7 }, (_, index) => [row('Pack', `pack ${index}`)]));
  expect(pack?.value).toContain('3 more values');
});

it('leaves out a section, a table or a list of facts that would be empty', () => {
  expect(section('Nothing', [facts([]), table('none', ['A'], []), null])).toEqual([]);
});

it('puts the reason in the place of a value that there is not', () => {
  expect(
    facts([
      { name: 'Effect size', value: '–', note: 'With five runs each or more.' },
      { name: 'Curve', value: 'Straight line', note: 'The rule takes it.' },
      { name: 'Arm', value: 'the long arm', note: '0.5 m' },
    ]),
  ).toEqual({
    kind: 'facts',
    rows: [
      { label: 'Effect size', value: 'With five runs each or more.' },
      { label: 'Curve', value: 'Straight line. The rule takes it.' },
      { label: 'Arm', value: 'the long arm; 0.5 m' },
    ],
  });
});
