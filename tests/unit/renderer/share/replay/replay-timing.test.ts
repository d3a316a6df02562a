import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  frameCountOf,
  frameRates,
  instantOfFrameS,
  STANDS_S,
  timestampOfFrameS,
} from '../../../../../renderer/share/replay/replay-timing.ts';
import { frameName, sequenceNotes } from '../../../../../renderer/share/replay/make-png-sequence.ts';

const timing = fc.record({
  fromS: fc.double({ min: -10, max: -0.001, noNaN: true }),
  toS: fc.double({ min: 0.5, max: 600, noNaN: true }),
  frameRate: fc.constantFrom(...frameRates),
});

describe('the frames of a replay', () => {
  it('go at true speed: the instant in sight moves on by what the clock of the film does', () => {
    fc.assert(
      fc.property(timing, fc.nat(40_000), (film, frame) => {
        const shownS = instantOfFrameS(film, frame);
        if (shownS < film.toS) {
          expect(shownS - film.fromS).toBeCloseTo(timestampOfFrameS(film, frame), 9);
        }
        expect(shownS).toBeLessThanOrEqual(film.toS);
      }),
    );
  });

  it('begin with the first instant, show the last, and let it stand', () => {
    fc.assert(
      fc.property(timing, (film) => {
        const count = frameCountOf(film);
        expect(instantOfFrameS(film, 0)).toBe(film.fromS);
        expect(instantOfFrameS(film, count - 1 - STANDS_S * film.frameRate)).toBeCloseTo(film.toS, 5);
        expect(instantOfFrameS(film, count - 1)).toBe(film.toS);
        expect(count / film.frameRate - (film.toS - film.fromS) - STANDS_S).toBeLessThan(
          2.01 / film.frameRate,
        );
      }),
    );
  });

  it('are told of with the frame in which the onset is', () => {
    const film = { fromS: -0.2, toS: 5, frameRate: 30 } as const;
    expect(frameCountOf(film)).toBe(157 + 60);
    const notes = sequenceNotes(film, 217, { widthPx: 1920, heightPx: 1080 });
    expect(notes).toContain('217 frames of 1920 x 1080 px, 30 frames per second');
    expect(notes).toContain(`Onset is nearest to ${frameName(6)}`);
    expect(instantOfFrameS(film, 6)).toBeCloseTo(0, 9);
    expect(frameName(6)).toBe('frame-00007.png');
  });
});
