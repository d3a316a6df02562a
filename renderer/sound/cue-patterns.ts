import type { SoundCue } from '../../shared-lib/bench-status.ts';

export type CueName = SoundCue['cue'];

/** One tone: when it begins, how long it lasts, how high it is. */
export interface Tone {
  readonly atS: number;
  readonly durationS: number;
  readonly frequencyHz: number;
}

/**
 * Distinct in pitch and in rhythm, so that each is known through ear muffs or beside a compressor. 0.5 to 2 kHz is where
 * hearing is good and small loudspeakers still carry (common practice, no source).
 */
export const cuePatterns: Readonly<Record<CueName, readonly Tone[]>> = {
  arm: [
    { atS: 0, durationS: 0.09, frequencyHz: 600 },
    { atS: 0.14, durationS: 0.09, frequencyHz: 800 },
  ],
  count: [{ atS: 0, durationS: 0.11, frequencyHz: 800 }],
  go: [{ atS: 0, durationS: 0.5, frequencyHz: 1200 }],
  stop: [
    { atS: 0, durationS: 0.18, frequencyHz: 1000 },
    { atS: 0.22, durationS: 0.36, frequencyHz: 600 },
  ],
  fault: [0, 0.16, 0.32, 0.48].map((atS, index) => ({
    atS,
    durationS: 0.13,
    frequencyHz: index % 2 === 0 ? 1800 : 1400,
  })),
};
