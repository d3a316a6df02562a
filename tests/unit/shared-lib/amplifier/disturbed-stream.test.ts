import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AmplifierProfile } from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import {
  createAmplifierStreamDecoder,
  type StreamBatch,
  type StreamFault,
} from '../../../../shared-lib/amplifier/amplifier-stream-decoder.ts';
import { createLineFormatter } from '../../../../shared-lib/amplifier/format-amplifier-line.ts';
import { countLostSlots } from '../../../../shared-lib/signal/sample-block.ts';
import { checked, countsOnly, sequenceCounts, slotsBySegment } from './decoded-stream.ts';

const RATE_HZ = 1000;
const BEYOND = 2 ** 24;

const withSequence = (modulus: number): AmplifierProfile => ({
  ...sequenceCounts,
  nominalRateHz: RATE_HZ,
  sequence: { field: 0, modulus, numeral: 'decimal' },
});

const profiles: readonly AmplifierProfile[] = [
  { ...countsOnly, nominalRateHz: RATE_HZ },
  withSequence(2 ** 32),
  withSequence(256),
  withSequence(16),
  {
    ...sequenceCounts,
    nominalRateHz: RATE_HZ,
    sequence: null,
    deviceTimeUs: { field: 0, modulus: 2 ** 20, numeral: 'decimal' },
  },
  {
    ...checked,
    nominalRateHz: RATE_HZ,
    statusFlags: { field: 3, numeral: 'hex', bits: [{ bit: 2, meaning: 'supply too low', isFault: true }] },
  },
];

type Disturbance =
  | { readonly kind: 'lose' | 'advance' | 'jump'; readonly by: number }
  | { readonly kind: 'stall'; readonly ms: number }
  | { readonly kind: 'repeat' | 'noise' | 'damage' | 'beyond' | 'flag' | 'reset' | 'break' | 'endless' };

const disturbances: fc.Arbitrary<Disturbance> = fc.oneof(
  { weight: 20, arbitrary: fc.record({ kind: fc.constant('advance'), by: fc.integer({ min: 1, max: 20 }) }) },
  { weight: 3, arbitrary: fc.record({ kind: fc.constant('lose'), by: fc.integer({ min: 1, max: 400 }) }) },
  {
    weight: 1,
    arbitrary: fc.record({ kind: fc.constant('jump'), by: fc.integer({ min: -5000, max: 5000 }) }),
  },
  {
    weight: 2,
    arbitrary: fc.record({ kind: fc.constant('stall'), ms: fc.integer({ min: 1, max: 40_000 }) }),
  },
  {
    weight: 12,
    arbitrary: fc.record({
      kind: fc.constantFrom('repeat', 'noise', 'damage', 'beyond', 'flag', 'reset', 'break', 'endless'),
    }),
  },
);

interface Step {
  readonly disturbance: Disturbance;
  readonly isTakenAfter: boolean;
}

interface Outcome {
  readonly batches: readonly StreamBatch[];
  readonly pushed: number;
  /** Counts of all sound lines in the order of pushing, repeated ones included. */
  readonly soundCounts: readonly number[];
}

/** Sends what a device under such disturbances sends; times of arrival follow from the steps alone. */
function decodeDisturbed(profile: AmplifierProfile, steps: readonly Step[]): Outcome {
  const format = createLineFormatter(profile);
  const decoder = createAmplifierStreamDecoder(profile);
  const batches: StreamBatch[] = [];
  const soundCounts: number[] = [];
  let sequence = 5000;
  let lateUs = 0;
  let nowUs = 0;
  let pushed = 0;
  let newest = '';
  let isNewestSound = true;

  const push = (line: string): void => {
    decoder.push(line, nowUs + lateUs);
    pushed += 1;
  };
  const send = (counts: number, flags = 0): void => {
    sequence += 1;
    nowUs += 1e6 / RATE_HZ;
    // Lines that waited come without a pause until the host has caught up.
    lateUs = Math.max(0, lateUs - 1e6 / RATE_HZ);
    newest = format({ sequence, timeUs: sequence * 1000, counts, flags }).trimEnd();
    isNewestSound = counts !== BEYOND;
    if (isNewestSound) soundCounts.push(counts);
    push(newest);
  };
  const sendSound = (flags = 0): void => {
    send((soundCounts.length * 37) % 1000, flags);
  };
  const disturb = (disturbance: Disturbance): void => {
    switch (disturbance.kind) {
      case 'advance':
        for (let count = 0; count < disturbance.by; count += 1) sendSound();
        return;
      case 'lose':
        sequence += disturbance.by;
        nowUs += disturbance.by * 1000;
        return;
      case 'jump':
        sequence = Math.max(0, sequence + disturbance.by);
        return;
      case 'stall':
        lateUs += disturbance.ms * 1000;
        return;
      case 'repeat':
        if (isNewestSound) soundCounts.push(soundCounts.at(-1) ?? Number.NaN);
        push(newest);
        return;
      case 'noise':
        push('\u00ff#,;');
        return;
      case 'damage':
        nowUs += 1000;
        sequence += 1;
        // Only a checksum tells that this is a line of the device.
        push(newest.replace(/\d/, 'x'));
        return;
      case 'beyond':
        send(BEYOND);
        return;
      case 'flag':
        sendSound(4);
        return;
      case 'reset':
        sequence = 0;
        return;
      case 'break':
        decoder.breakSegment();
        return;
      case 'endless':
        decoder.countUnreadable('0'.repeat(500));
        pushed += 1;
    }
  };

  decoder.push('cut off', 0);
  sendSound();
  for (const { disturbance, isTakenAfter } of steps) {
    disturb(disturbance);
    const batch = isTakenAfter ? decoder.take() : null;
    if (batch) batches.push(batch);
  }
  const batch = decoder.take();
  if (batch) batches.push(batch);
  return { batches, pushed, soundCounts };
}

function countOf({ batches }: Outcome, ...kinds: StreamFault['kind'][]): number {
  const faults = batches.flatMap((batch) => batch.faults);
  return faults.filter(({ kind }) => kinds.includes(kind)).reduce((sum, { count }) => sum + count, 0);
}

const steps = fc.array(fc.record({ disturbance: disturbances, isTakenAfter: fc.boolean() }), {
  maxLength: 60,
});

describe.each(profiles.map((profile, index) => ({ profile, name: `${profile.name} (${index})` })))(
  'a stream disturbed in every way, with lines of "$name"',
  ({ profile }) => {
    it('accounts for every line: a sample, or counted in one fault', () => {
      fc.assert(
        fc.property(steps, (given) => {
          const outcome = decodeDisturbed(profile, given);
          const blocks = outcome.batches.flatMap((batch) => batch.blocks);
          const samples = blocks.reduce(
            (sum, { counts, gaps }) => sum + counts.length - countLostSlots(gaps),
            0,
          );
          const told = countOf(outcome, 'badLine', 'badChecksum', 'duplicateLine', 'beyondRails');
          expect(samples + told).toBe(outcome.pushed);
        }),
      );
    });

    it('accounts for every empty slot: lost, or beyond the rails', () => {
      fc.assert(
        fc.property(steps, (given) => {
          const outcome = decodeDisturbed(profile, given);
          const slots = slotsBySegment(outcome.batches);
          expect(slots.flat().filter((slot) => slot === null)).toHaveLength(
            countOf(outcome, 'sequenceGap', 'beyondRails'),
          );
          expect(slots.length - 1).toBe(countOf(outcome, 'segmentBreak'));
        }),
      );
    });

    it('keeps the counts of all sound lines in their order, but for those told as repeated', () => {
      fc.assert(
        fc.property(steps, (given) => {
          const outcome = decodeDisturbed(profile, given);
          const samples = slotsBySegment(outcome.batches)
            .flat()
            .filter((slot) => slot !== null);
          let matched = 0;
          for (const counts of outcome.soundCounts) if (counts === samples[matched]) matched += 1;
          expect(matched).toBe(samples.length);
          // A number beyond the rails may be the one that was repeated.
          expect(samples.length).toBeGreaterThanOrEqual(
            outcome.soundCounts.length - countOf(outcome, 'duplicateLine'),
          );
        }),
      );
    });

    it('gives the same samples, and as many of each fault, however often it is taken', () => {
      fc.assert(
        fc.property(steps, (given) => {
          const asGiven = decodeDisturbed(profile, given);
          const atOnce = decodeDisturbed(
            profile,
            given.map((step) => ({ ...step, isTakenAfter: false })),
          );
          expect(slotsBySegment(asGiven.batches)).toEqual(slotsBySegment(atOnce.batches));
          for (const kind of countedKinds) {
            expect([kind, countOf(asGiven, kind)]).toEqual([kind, countOf(atOnce, kind)]);
          }
        }),
      );
    });
  },
);

/** All but deviceFlag, which counts the samples of the batch it was raised in. */
const countedKinds = [
  'badLine',
  'badChecksum',
  'sequenceGap',
  'rail',
  'stuck',
  'segmentBreak',
  'duplicateLine',
  'beyondRails',
] as const satisfies readonly StreamFault['kind'][];

describe('the disturbances of this test', () => {
  it('bring about every fault that lines can have', () => {
    const told = new Set<string>();
    for (const profile of profiles) {
      for (const given of fc.sample(steps, { numRuns: 200, seed: 42 })) {
        const { batches } = decodeDisturbed(profile, given);
        for (const { kind } of batches.flatMap(({ faults }) => faults)) told.add(kind);
      }
    }
    expect([...told].sort()).toEqual([
      'badChecksum',
      'badLine',
      'beyondRails',
      'deviceFlag',
      'duplicateLine',
      'segmentBreak',
      'sequenceGap',
    ]);
  });
});
