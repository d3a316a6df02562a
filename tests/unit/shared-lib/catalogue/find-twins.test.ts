import { describe, expect, it } from 'vitest';
import { editDistance, findTwins } from '../../../../shared-lib/catalogue/find-twins.ts';
import { demoTool } from './demo-tools.ts';

const named = (...names: string[]) => names.map((name) => demoTool(name, name));

describe('likely twins', () => {
  it.each([
    ['Hollin H5', 'hollin h-5', 'spaces, punctuation or accents only'],
    ['Hollin H5', 'HollinH5', 'spaces, punctuation or accents only'],
    ['Hóllin H5', 'Hollin H5', 'spaces, punctuation or accents only'],
    ['Hollin H5', 'Holin H5', 'differ by a letter'],
    ['Hollin H5', 'Hlolin H5', 'differ by a letter'],
    ['Tarnwickham T6', 'Tarnwikcam T6', 'differ by a letter or two'],
  ])('are %s and %s', (a, b, because) => {
    const [twin, ...others] = findTwins(named(a, b));
    expect(others).toEqual([]);
    expect(twin).toMatchObject({ toolIds: [a, b] });
    expect(twin?.because).toContain(because);
  });

  it.each([
    ['Hollin H5', 'Hollin H6'],
    ['Hollin H5', 'Hollin K5'],
    ['Hollin H5', 'Hollin H55'],
    ['Hollin H5', 'Brindlow H5'],
    ['Corvane C8', 'Korwane C8'],
    ['H5', 'G5'],
    ['Holin T5', 'Hollin H5'],
  ])('are not %s and %s', (a, b) => {
    expect(findTwins(named(a, b))).toEqual([]);
  });

  it('are two of one maker and model, whatever their names', () => {
    const tools = [
      demoTool('a', 'The blue one', { details: { maker: 'Hollin', model: 'H-5' } }),
      demoTool('b', 'Wrench 2', { details: { maker: 'HOLLIN', model: 'H5' } }),
      demoTool('c', 'Wrench 3', { details: { maker: 'Hollin', model: '' } }),
    ];
    expect(findTwins(tools)).toEqual([{ toolIds: ['a', 'b'], because: 'Both are Hollin H-5.' }]);
  });

  it('are one whose name is maker and model of the other', () => {
    const tools = [
      demoTool('a', 'Hollin H5'),
      demoTool('b', 'The blue one', { details: { maker: 'Hollin', model: 'H5' } }),
    ];
    expect(findTwins(tools)[0]).toMatchObject({ toolIds: ['a', 'b'] });
  });

  it('are not told of merged tools, nor of two that were put away', () => {
    const away = { tool: { isArchived: true } };
    expect(
      findTwins([demoTool('a', 'Hollin H5'), demoTool('b', 'Hollin H 5', { mergedIntoToolId: 'a' })]),
    ).toEqual([]);
    expect(findTwins([demoTool('a', 'Hollin H5', away), demoTool('b', 'Hollin H 5', away)])).toEqual([]);
    expect(findTwins([demoTool('a', 'Hollin H5', away), demoTool('b', 'Hollin H5')])[0]?.because).toBe(
      'Both have the name “Hollin H5”.',
    );
  });

  it('are not two that differ by a letter where class, drive or supply tell them apart', () => {
    const wrench = demoTool('a', 'Hollin H5', { details: { toolClass: 'impactWrench' } });
    const drill = demoTool('b', 'Holin H5', { details: { toolClass: 'drill' } });
    expect(findTwins([wrench, drill])).toEqual([]);
    expect(findTwins([wrench, demoTool('c', 'Holin H5', { tool: { supply: 'air' } })])).toEqual([]);
    expect(findTwins([wrench, demoTool('d', 'Holin H5')])).toHaveLength(1);
  });

  it('are not looked for by letters where more than three hundred names are a list of words', () => {
    const many = Array.from(
      { length: 2000 },
      (_, index) =>
        `Bench ${'abcdefghij'[index % 10]}${'klmnopqrst'[Math.floor(index / 10) % 10]}${'uvwxyzabcd'[Math.floor(index / 100) % 10]}x${'efghi'[Math.floor(index / 1000)]}`,
    );
    expect(findTwins(named(...many))).toEqual([]);
  });
});

describe('the edit distance', () => {
  it.each([
    ['', '', 0],
    ['hollin', 'hollin', 0],
    ['hollin', 'holin', 1],
    ['hollin', 'hlolin', 1],
    ['hollin', 'hallin', 1],
    ['hollin', 'hollins', 1],
    ['kitten', 'sitting', 3],
    ['', 'abc', 3],
  ])('of “%s” and “%s” is %i', (a, b, distance) => {
    expect(editDistance(a, b)).toBe(distance);
    expect(editDistance(b, a)).toBe(distance);
  });
});
