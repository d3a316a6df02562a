import { describe, expect, it } from 'vitest';
import {
  cellId,
  changesSince,
  isNothingChanged,
  lookSentence,
  readSeen,
  seenOf,
} from '../../../../renderer/standings/table/last-look.ts';
import {
  demoCell,
  demoNotRanked,
  demoRow,
  demoScheme,
  demoStandings,
} from '../../../helpers/scripted-standings.ts';

const at = '2026-03-10T10:00:00.000Z';
const before = demoStandings();
const seen = seenOf(before, at);
const key = before.rows[0]!.contender.key;

describe('what a table was at the last look', () => {
  it('is stored as text and read back, and what is no look of this version is none', () => {
    expect(readSeen(JSON.stringify(seen))).toEqual(seen);
    expect(readSeen(null)).toBeNull();
    expect(readSeen('{')).toBeNull();
    expect(readSeen('{"at":1}')).toBeNull();
  });

  it('marks no cell where nothing but the last digits of a sum is other', () => {
    const again = demoStandings({
      rows: before.rows.map((row) => ({
        ...row,
        cells: row.cells.map((cell) => ({ ...cell, points: cell.points! * (1 + 1e-13) })),
      })),
    });
    expect(isNothingChanged(changesSince(seen, again))).toBe(true);
  });

  it('marks exactly the cells and places that are other, with what they were', () => {
    const now = demoStandings({
      rows: [
        demoRow('Tarnwick T6', 1),
        demoRow('Hollin H5', 2, {
          cells: [
            demoCell('torque', { value: 380, points: 38 }),
            demoCell('price', { value: 199, count: 0, points: 50 }),
          ],
        }),
        demoRow('Brindlow B4', 3),
      ],
    });
    const changes = changesSince(seen, now);
    expect([...changes.cells]).toEqual([[cellId(key, 'torque'), { value: 400, points: 40 }]]);
    expect(Object.fromEntries(changes.places)).toEqual({ [key]: 1, 'name:tarnwick t6': 2 });
    expect(lookSentence(changes, 'March 10')).toBe(
      '1 cell and 2 places are other than when you looked on March 10; each is marked with what it was.',
    );
  });

  it('tells a tool that is new or has lost its place from one whose figures are other', () => {
    const [first, second, third] = before.rows;
    const now = demoStandings({
      rows: [first!, second!],
      notRanked: [
        { ...demoNotRanked('Brindlow B4', ['Voided.']), cells: third!.cells },
        demoNotRanked('Corvane C8', ['x']),
      ],
    });
    const changes = changesSince(seen, now);
    expect(changes.places.get('name:brindlow b4')).toBe(3);
    expect(changes.places.has('name:corvane c8')).toBe(true);
    expect(changes.cells.get(cellId('name:corvane c8', 'torque'))).toBeNull();
    expect(changes.cells.has(cellId('name:brindlow b4', 'torque'))).toBe(false);
  });

  it('says so where the rules are another version', () => {
    const changes = changesSince(seen, demoStandings({ scheme: { ...demoScheme, version: 3 } }));
    expect(isNothingChanged(changes)).toBe(false);
    expect(lookSentence(changes, 'March 10')).toBe(
      'Since you looked on March 10: no figure is another. The rules are another version or another scheme since then.',
    );
  });
});
