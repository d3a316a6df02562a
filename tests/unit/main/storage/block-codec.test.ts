import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  decodeRun,
  encodeRun,
  type RawBlockColumns,
  type RecordedRun,
  type RowForm,
} from '../../../../main/storage/block-codec.ts';
import { AppError } from '../../../../shared-lib/app-error.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';

const forms: readonly RowForm[] = ['live', 'packed'];
const NOISE_COUNTS = 59;

function noise(length: number): Int32Array {
  const random = createSeededRandom(5, 1);
  return Int32Array.from({ length }, () => Math.round(8_000_000 + NOISE_COUNTS * random.gaussian()));
}

const count = fc.oneof(
  fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 }),
  fc.integer({ min: -100, max: 100 }),
  fc.constantFrom(-(2 ** 31), 2 ** 31 - 1),
);

/** Alternating stretches of samples and gaps, and marks at some of the slots. */
const runs: fc.Arbitrary<RecordedRun> = fc
  .record({
    firstSlot: fc.nat(1_000_000),
    stretches: fc.array(fc.tuple(fc.array(count, { minLength: 1, maxLength: 20 }), fc.nat(5)), {
      minLength: 1,
      maxLength: 10,
    }),
    firstArrivalUs: fc.integer({ min: 0, max: 10 ** 13 }),
    intervalsUs: fc.array(fc.integer({ min: -5, max: 100_000 }), { maxLength: 10 }),
  })
  .map(({ firstSlot, stretches, firstArrivalUs, intervalsUs }) => {
    const counts: number[] = [];
    const gaps: { offset: number; length: number }[] = [];
    for (const [samples, lost] of stretches) {
      counts.push(...samples);
      if (lost === 0) continue;
      gaps.push({ offset: counts.length, length: lost });
      counts.push(...Array.from({ length: lost }, () => 0));
    }
    let arrivalUs = firstArrivalUs;
    const marks = intervalsUs.map((intervalUs, index) => {
      arrivalUs += intervalUs;
      return { slot: firstSlot + 3 * index, arrivalUs };
    });
    return { firstSlot, counts: Int32Array.from(counts), gaps, marks };
  });

const run: RecordedRun = {
  firstSlot: 40,
  counts: Int32Array.of(7, 0, 0, -9, 123_456, 0),
  gaps: [
    { offset: 1, length: 2 },
    { offset: 5, length: 1 },
  ],
  marks: [
    { slot: 43, arrivalUs: 5_000_000 },
    { slot: 45, arrivalUs: 5_030_000 },
  ],
};

function refusal(columns: RawBlockColumns): unknown {
  try {
    return decodeRun(columns, 'trial-7');
  } catch (error) {
    return error;
  }
}

describe.each(forms)('a %s raw block', (form) => {
  it('gives back counts, gaps and marks as they were', () => {
    fc.assert(
      fc.property(runs, (source) => {
        expect(decodeRun(encodeRun(source, form), 'trial-7')).toEqual(source);
      }),
    );
  });

  it('says how many slots it holds and how many of them were lost', () => {
    expect(encodeRun(run, form)).toMatchObject({ first_slot: 40, slot_count: 6, lost_slot_count: 3 });
  });

  it('names its slots when any one byte of it has changed', () => {
    const columns = encodeRun(run, form);
    const blobs = ['payload', 'gaps', 'marks'] as const;
    for (const blob of blobs) {
      for (let index = 0; index < columns[blob].length; index += 1) {
        const altered = Uint8Array.from(columns[blob]);
        altered[index] = (altered[index] ?? 0) ^ 1;
        const error = refusal({ ...columns, [blob]: altered });
        expect(error).toBeInstanceOf(AppError);
        expect(error).toMatchObject({
          code: 'block-corrupt',
          details: { trialId: 'trial-7', firstSlot: 40, slotCount: 6 },
        });
      }
    }
  });

  it('is refused when it claims to lie elsewhere or to be of another form', () => {
    const columns = encodeRun(run, form);
    const claims = [
      { first_slot: 41 },
      { slot_count: 5 },
      { lost_slot_count: 2 },
      ...[0, 1, 2, 9].filter((codec) => codec !== columns.codec).map((codec) => ({ codec })),
    ];
    for (const claim of claims)
      expect(refusal({ ...columns, ...claim })).toMatchObject({ code: 'block-corrupt' });
  });

  it.each([
    ['beyond its end', [{ offset: 5, length: 2 }]],
    ['of no length', [{ offset: 2, length: 0 }]],
    [
      'over another',
      [
        { offset: 1, length: 3 },
        { offset: 2, length: 1 },
      ],
    ],
  ])('cannot be made with a gap %s', (_, gaps) => {
    expect(() => encodeRun({ ...run, gaps }, form)).toThrow(RangeError);
  });
});

it('stores live counts as 32-bit little-endian integers', () => {
  const { payload } = encodeRun({ ...run, counts: Int32Array.of(1, -2), gaps: [], marks: [] }, 'live');
  expect([...payload]).toEqual([1, 0, 0, 0, 254, 255, 255, 255]);
});

it('packs a still transducer into far fewer bytes than live counts take', () => {
  // Differences of two values out of 20 carry at most log2(39) = 5.3 bits; live counts take 32.
  let state = 1;
  const next = (): number => (state = (state * 48_271) % 2_147_483_647) % 20;
  const counts = Int32Array.from({ length: 10_000 }, () => 8_000_000 + next());
  const { payload } = encodeRun({ firstSlot: 0, counts, gaps: [], marks: [] }, 'packed');
  expect(payload.length).toBeLessThan(counts.length);
});

it('packs white noise into little more than it carries', () => {
  const counts = noise(20_000);
  const columns = encodeRun({ firstSlot: 0, counts, gaps: [], marks: [] }, 'packed');
  // The differential entropy of a normal distribution: log2(s sqrt(2 pi e)) bits.
  const leastBytes = (counts.length / 8) * Math.log2(NOISE_COUNTS * Math.sqrt(2 * Math.PI * Math.E));
  expect(columns.payload.length).toBeGreaterThan(leastBytes);
  expect(columns.payload.length).toBeLessThan(1.06 * leastBytes);
});

it('packs what stands still into next to nothing, and reads both packed forms', () => {
  const still = { firstSlot: 0, counts: new Int32Array(10_000).fill(8_000_000), gaps: [], marks: [] };
  const noisy = { ...still, counts: noise(10_000) };
  const packed = [still, noisy].map((source) => encodeRun(source, 'packed'));
  expect(packed[0]?.payload.length).toBeLessThan(100);
  expect(new Set(packed.map(({ codec }) => codec)).size).toBe(2);
  expect(packed.map((columns) => decodeRun(columns, 'trial-7'))).toEqual([still, noisy]);
});
