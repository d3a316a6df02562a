import { describe, expect, it } from 'vitest';
import {
  countWords,
  listWords,
  neighbourWords,
  rangesWords,
  rangeWords,
  setupPart,
  shortLabelsOf,
} from '../../../../shared-lib/standings/words/place-sentences.ts';
import { pointDecimals } from '../../../../shared-lib/standings/words/point-decimals.ts';
import { shownCell, termColumns } from '../../../../renderer/standings/table/table-rows.ts';
import { restsOnWords, takesInWords } from '../../../../shared-lib/standings/words/table-sentences.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import {
  demoCell,
  demoNotRanked,
  demoRanges,
  demoRow,
  demoStandings,
  demoTable,
} from '../../../helpers/scripted-standings.ts';

const plain = (text: string): string => text.replaceAll('\u202f', ' ');
const context = { torque: torqueDisplay('Nm', null), currency: 'EUR' };
const standings = demoStandings();
const [torqueColumn, priceColumn] = termColumns(standings, context);

describe('a cell', () => {
  it('shows value and points, each with the decimals of its column', () => {
    expect(shownCell(demoCell('torque', { value: 412.4, points: 41.24 }), torqueColumn!, 1)).toEqual({
      termId: 'torque',
      value: '412',
      missing: null,
      points: '41.2',
      remark: '',
    });
    expect(
      shownCell(demoCell('price', { value: 199, isCapped: true, points: 80 }), priceColumn!, 1),
    ).toMatchObject({
      value: '199.00',
      points: '80.0',
      remark: 'capped',
    });
  });

  it('says in words what is missing, and never shows a zero as if it were measured', () => {
    const missing = { value: null, missing: 'No price is known.', count: 0 };
    expect(shownCell(demoCell('price', { ...missing, points: 0 }), priceColumn!, 1)).toMatchObject({
      value: null,
      missing: 'No price is known.',
      points: '0.0',
      remark: 'for missing',
    });
    expect(shownCell(demoCell('price', { ...missing, points: null }), priceColumn!, 1)).toMatchObject({
      value: null,
      points: null,
      remark: 'left out',
    });
    expect(shownCell(undefined, priceColumn!, 1)).toMatchObject({ value: null, missing: 'not asked for' });
  });
});

describe('points', () => {
  it('have one decimal, or as many as tell totals apart that are not the same', () => {
    expect(pointDecimals([])).toBe(1);
    expect(pointDecimals([61.2, 58.9, 58.9])).toBe(1);
    expect(pointDecimals([61.24, 61.21])).toBe(2);
    expect(pointDecimals([61.2401, 61.2402])).toBe(3);
  });
});

describe('places', () => {
  it('carry their range and the neighbours that they are not told apart from', () => {
    const ranges = demoRanges(standings, 4);
    const key = standings.rows[1]!.contender.key;
    expect(rangeWords(ranges, key)).toBe('(1 to 4)');
    expect(rangeWords(ranges, 'name:nobody')).toBe('(no range)');
    expect(rangeWords(null, key)).toBe('');
    expect(rangeWords({ ...ranges, ranges: [] }, key)).toBe('');
    const labelOf = shortLabelsOf(standings);
    expect(neighbourWords(ranges.ranges[1], labelOf)).toBe('not told apart from Hollin H5 and Brindlow B4');
    expect(neighbourWords(undefined, labelOf)).toBe('');
  });

  it('name three neighbours and count the others, but never only one of them', () => {
    const range = { key: 'a', bestPlace: 1, worstPlace: 6, notSeparatedFrom: ['b', 'c', 'd', 'e'] };
    expect(neighbourWords(range, (key) => key)).toBe('not told apart from b, c, d and e');
    const more = { ...range, notSeparatedFrom: ['b', 'c', 'd', 'e', 'f'] };
    expect(neighbourWords(more, (key) => key)).toBe('not told apart from b, c, d and 2 more');
  });

  it('say that ranges are on their way, have come, or cannot be given', () => {
    const ranges = demoRanges(standings, 2);
    expect(rangesWords(null, true)).toContain('being drawn');
    expect(rangesWords(ranges, false)).toContain('95 %');
    expect(rangesWords({ ...ranges, ranges: [] }, false)).toBe('Places have no ranges here.');
  });

  it('name a tool shortly where that tells it from all others, else with its setup', () => {
    const [first] = standings.rows;
    const labelOf = shortLabelsOf(standings);
    expect(labelOf(first!.contender.key)).toBe('Hollin H5');
    const twin = {
      ...first!,
      contender: { ...first!.contender, key: 'setup:2', label: 'Hollin H5, pack 3' },
    };
    const both = shortLabelsOf(demoStandings({ rows: [first!, twin] }));
    expect(both('setup:2')).toBe('Hollin H5, pack 3');
    expect(both('name:gone')).toBe('a tool that is no longer here');
    expect(setupPart(first!.contender)).toBe('pack 2');
    expect(setupPart(standings.rows[1]!.contender)).toBe('');
  });
});

describe('a table', () => {
  it('says whom it takes in and what its figures rest on', () => {
    expect(takesInWords(demoTable)).toBe('Impact wrenches; any drive; battery; simulated trials');
    const open = { ...demoTable, toolClasses: [], supplies: [], isSimulated: false };
    expect(takesInWords({ ...open, driveSizes: ['square12.5', 'square20'] }).replaceAll('\u202f', ' ')).toBe(
      'All classes of tools; square 12.5 mm (1/2 in) and square 20 mm (3/4 in); any supply; real trials',
    );
    expect(restsOnWords(standings)).toBe(
      'Rules: Torque and price (demo), version 2. Trials: good ones and those that need a look. Prices in EUR.',
    );
  });

  it('counts who is ranked and who is not', () => {
    expect(countWords(standings)).toBe('3 ranked');
    expect(
      countWords(
        demoStandings({ rows: [demoRow('Hollin H5', 1)], notRanked: [demoNotRanked('Corvane C8', ['x'])] }),
      ),
    ).toBe('1 ranked, 1 not ranked');
    expect(plain(listWords(['a', 'b', 'c']))).toBe('a, b and c');
    expect(listWords([])).toBe('');
  });
});
