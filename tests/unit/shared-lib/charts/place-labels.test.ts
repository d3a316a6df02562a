import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { placeLabels, type WantedLabel } from '../../../../shared-lib/charts/place-labels.ts';

const wanted = fc.array(
  fc.record({
    atPx: fc.double({ min: -500, max: 2000, noNaN: true }),
    lengthPx: fc.double({ min: 1, max: 200, noNaN: true }),
  }),
  { minLength: 1, maxLength: 20 },
);
const SLACK_PX = 1e-6;

function endsOf(labels: readonly WantedLabel[], places: readonly number[]) {
  return labels
    .map(({ lengthPx }, index) => {
      const middle = places[index] ?? Number.NaN;
      return { from: middle - lengthPx / 2, to: middle + lengthPx / 2 };
    })
    .toSorted((one, other) => one.from - other.from);
}

function shiftOf(labels: readonly WantedLabel[], places: readonly number[]): number {
  return labels.reduce((sum, { atPx }, index) => sum + ((places[index] ?? 0) - atPx) ** 2, 0);
}

describe('labels along a line', () => {
  it('overlap nowhere and stay in the picture, or are told not to fit', () => {
    fc.assert(
      fc.property(wanted, fc.double({ min: 10, max: 2500, noNaN: true }), (labels, roomPx) => {
        const places = placeLabels(labels, 0, roomPx);
        const needed = labels.reduce((sum, { lengthPx }) => sum + lengthPx, 0);
        if (places === null) {
          expect(needed).toBeGreaterThan(roomPx);
          return;
        }
        let free = 0;
        for (const { from, to } of endsOf(labels, places)) {
          expect(from).toBeGreaterThanOrEqual(free - SLACK_PX);
          free = to;
        }
        expect(free).toBeLessThanOrEqual(roomPx + SLACK_PX);
      }),
      { numRuns: 500 },
    );
  });

  it('stay where they want to stand where they can, and keep their order', () => {
    const apart = [
      { atPx: 300, lengthPx: 40 },
      { atPx: 100, lengthPx: 40 },
      { atPx: 200, lengthPx: 40 },
    ];
    expect(placeLabels(apart, 0, 400)).toEqual([300, 100, 200]);
    expect(
      placeLabels(
        [
          { atPx: 100, lengthPx: 40 },
          { atPx: 100, lengthPx: 40 },
        ],
        0,
        400,
      ),
    ).toEqual([80, 120]);
  });

  it('move as little as any arrangement in their order would let them', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            atPx: fc.double({ min: -50, max: 250, noNaN: true }),
            lengthPx: fc.double({ min: 5, max: 40, noNaN: true }),
          }),
          { minLength: 2, maxLength: 5 },
        ),
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 5, maxLength: 5 }),
        (drawn, gaps) => {
          // In the order in which they want to stand, which is the one that is kept.
          const labels = drawn.toSorted((one, other) => one.atPx - other.atPx);
          const places = placeLabels(labels, 0, 200);
          if (places === null) return;
          // Any other arrangement: the room that is left, dealt out at random between them.
          const free = 200 - labels.reduce((sum, { lengthPx }) => sum + lengthPx, 0);
          const total = gaps.reduce((sum, gap) => sum + gap, 1e-9);
          let at = 0;
          const others = labels.map(({ lengthPx }, index) => {
            at += (free * (gaps[index] ?? 0)) / total;
            const middle = at + lengthPx / 2;
            at += lengthPx;
            return middle;
          });
          expect(shiftOf(labels, places)).toBeLessThanOrEqual(shiftOf(labels, others) + 1e-6);
        },
      ),
      { numRuns: 1000 },
    );
  });

  it('stand somewhere in the middle where they name nothing that has a place', () => {
    expect(placeLabels([{ atPx: Number.NaN, lengthPx: 20 }], 0, 100)).toEqual([50]);
  });
});
