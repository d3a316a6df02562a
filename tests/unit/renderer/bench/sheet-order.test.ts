import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { movesOf, whatIsLeft } from '../../../../renderer/bench/sheet-order.ts';
import { demoEntry } from '../../../helpers/scripted-sheet.ts';

const open = ['a', 'b', 'c'].map((id) => ({ id }));

/** As the services move: out of its place, then before the other one or to the end. */
function moved(ids: readonly string[], id: string, beforeId: string | null): string[] {
  const others = ids.filter((other) => other !== id);
  const at = beforeId === null ? others.length : others.indexOf(beforeId);
  return others.toSpliced(at, 0, id);
}

describe('the order of what is left', () => {
  it('tells open from skipped pulls, and leaves out what is done', () => {
    const entries = [
      demoEntry('done', { state: 'done' }),
      demoEntry('skipped', { state: 'skipped', skipReason: 'The tool failed' }),
      demoEntry('open'),
    ];
    const left = whatIsLeft({ entries });
    expect(left.open.map(({ id }) => id)).toEqual(['open']);
    expect(left.skipped.map(({ id }) => id)).toEqual(['skipped']);
  });

  it('lets the first one only go down and the last one only go up', () => {
    expect(movesOf(open, 0)).toEqual({ next: undefined, up: undefined, down: 'c' });
    expect(movesOf(open, 1)).toEqual({ next: 'a', up: 'a', down: null });
    expect(movesOf(open, 2)).toEqual({ next: 'a', up: 'b', down: undefined });
    expect(movesOf([{ id: 'only' }], 0)).toEqual({ next: undefined, up: undefined, down: undefined });
  });

  it('puts an entry first, one up or one down, and moves no other', () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 12 }), fc.nat(), (count, seed) => {
        const ids = Array.from({ length: count }, (_, index) => `e${index}`);
        const index = seed % count;
        const id = ids[index] ?? '';
        const { next, up, down } = movesOf(
          ids.map((entryId) => ({ id: entryId })),
          index,
        );
        const others = ids.filter((other) => other !== id);
        if (next !== undefined) expect(moved(ids, id, next)).toEqual([id, ...others]);
        if (up !== undefined) expect(moved(ids, id, up)).toEqual(others.toSpliced(index - 1, 0, id));
        if (down !== undefined) expect(moved(ids, id, down)).toEqual(others.toSpliced(index + 1, 0, id));
      }),
    );
  });
});
