import { describe, expect, it } from 'vitest';
import type { AmplifierProfile } from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import { createAmplifierStreamDecoder } from '../../../../shared-lib/amplifier/amplifier-stream-decoder.ts';
import {
  checked,
  countsOnly,
  decodeLines,
  faultsOf,
  PERIOD_US,
  sequenceCounts,
  slotsBySegment,
} from './decoded-stream.ts';

describe('lines into blocks', () => {
  it('passes over the first line after opening, which may be the rest of a longer number', () => {
    const decoder = createAmplifierStreamDecoder(countsOnly);
    decoder.push('456', 0);
    expect(decoder.take()).toBeNull();
  });

  it('gives samples, slots and the arrival of the newest line', () => {
    const { blocks, faults } = decodeLines(countsOnly, ['5', '-6', '7']);
    expect(blocks).toEqual([
      { segment: 1, firstSlot: 0, counts: Int32Array.of(5, -6, 7), gaps: [], arrivalUs: 37_500 },
    ]);
    expect(faults).toEqual([]);
  });

  it('goes on at the next slot with the next block', () => {
    const decoder = createAmplifierStreamDecoder(sequenceCounts);
    ['x', '10,1', '11,2'].forEach((line, index) => {
      decoder.push(line, index * 12_500);
    });
    decoder.take();
    decoder.push('12,3', 50_000);
    expect(decoder.take()?.blocks).toEqual([
      { segment: 1, firstSlot: 2, counts: Int32Array.of(3), gaps: [], arrivalUs: 50_000 },
    ]);
    expect(decoder.take()).toBeNull();
  });

  it('keeps the slot of a lost sample and tells the loss', () => {
    const batch = decodeLines(sequenceCounts, ['10,1', '13,4', '14,5']);
    expect(batch.blocks[0]).toMatchObject({
      counts: Int32Array.of(1, 0, 0, 4, 5),
      gaps: [{ offset: 1, length: 2 }],
    });
    expect(faultsOf(batch)).toEqual(['sequenceGap 2']);
    expect(batch.faults[0]?.slot).toBe(1);
  });

  it('tells all losses of one stretch as one fault with their number, from the first of them on', () => {
    const batch = decodeLines(sequenceCounts, ['10,1', '12,2', '14,3', '15,4', '18,5']);
    expect(faultsOf(batch)).toEqual(['sequenceGap 4']);
    expect(batch.faults[0]?.slot).toBe(1);
    expect(batch.blocks[0]?.gaps).toEqual([
      { offset: 1, length: 1 },
      { offset: 3, length: 1 },
      { offset: 6, length: 2 },
    ]);
  });

  it('ends the block and begins a segment where the device counts anew', () => {
    const batch = decodeLines(sequenceCounts, ['900,1', '901,2', '0,3']);
    expect(batch.blocks.map(({ segment, firstSlot, counts }) => [segment, firstSlot, ...counts])).toEqual([
      [1, 0, 1, 2],
      [2, 0, 3],
    ]);
    expect(faultsOf(batch)).toEqual(['segmentBreak 1: the sequence number went from 901 to 0']);
  });

  it('counts what it cannot read by its kind and shows the newest text', () => {
    const batch = decodeLines(checked, ['$1,0,5*1D', 'noise', '$2,9,5*00', '\u0000\u00ff']);
    expect(faultsOf(batch)).toEqual(['badLine 2', 'badChecksum 2']);
    expect(batch.lastBadLine).toBe('\u0000\u00ff');
  });

  it('tells samples at the rails of the converter', () => {
    expect(faultsOf(decodeLines(countsOnly, ['1', '8388607', '8388607', '-8388608', '2']))).toEqual([
      'rail 3',
    ]);
  });

  it('tells few faults with large numbers where every line of a batch breaks the segment', () => {
    const lines = Array.from({ length: 200 }, (_, index) => `${9000 - index},8388607`);
    const { faults } = decodeLines(sequenceCounts, lines);
    const countOf = (kind: string) =>
      faults.filter((fault) => fault.kind === kind).reduce((sum, { count }) => sum + count, 0);
    expect([countOf('segmentBreak'), countOf('rail')]).toEqual([199, 200]);
    expect(faults.length).toBeLessThan(20);
  });

  it('tells a fault in the segment in which it lies', () => {
    const batch = decodeLines(sequenceCounts, ['900,8388607', 'noise', '901,2', '0,3', 'noise']);
    expect(batch.faults.map(({ kind, segment, slot }) => [kind, segment, slot])).toEqual([
      ['badLine', 1, 2],
      ['rail', 1, 2],
      ['segmentBreak', 2, 0],
      ['badLine', 2, 1],
    ]);
  });
});

describe('a value that stands still', () => {
  const push = (profile: AmplifierProfile, periodUs: number, counts: readonly number[]): string[] => {
    const decoder = createAmplifierStreamDecoder(profile);
    [0, ...counts].forEach((value, index) => {
      decoder.push(String(value), index * periodUs);
    });
    return faultsOf(decoder.take());
  };
  const still = (count: number) => Array<number>(count).fill(7);

  it('is told once it has stood for a second, after it had moved, and again after it moved again', () => {
    expect(push(countsOnly, PERIOD_US, still(200))).toEqual([]);
    expect(push(countsOnly, PERIOD_US, [6, ...still(80)])).toEqual([]);
    expect(push(countsOnly, PERIOD_US, [6, ...still(81)])).toEqual(['stuck 81']);
    expect(push(countsOnly, PERIOD_US, [6, ...still(200), 8, ...still(200)])).toEqual([
      'stuck 81',
      'stuck 81',
    ]);
  });

  it('is not told before 50 samples where they come slowly', () => {
    expect(push({ ...countsOnly, nominalRateHz: 10 }, 100_000, [6, ...still(49)])).toEqual([]);
    expect(push({ ...countsOnly, nominalRateHz: 10 }, 100_000, [6, ...still(50)])).toEqual(['stuck 50']);
  });

  it('must stand for a second by the clock, also where lines come faster than the rate in the profile', () => {
    expect(push(countsOnly, 1000, [6, ...still(1000)])).toEqual([]);
    expect(push(countsOnly, 1000, [6, ...still(1001)])).toEqual(['stuck 1001']);
  });
});

describe('a line that came twice', () => {
  it('is told and takes no slot, and is not counted as unreadable', () => {
    const batch = decodeLines(sequenceCounts, ['10,1', '11,2', '11,2', '11,2', '12,3']);
    expect(faultsOf(batch)).toEqual(['duplicateLine 2']);
    expect(slotsBySegment([batch])).toEqual([[1, 2, 3]]);
    expect(batch.lastBadLine).toBeNull();
  });
});

describe('a number beyond the rails of the converter', () => {
  it.each([
    ['nothing', countsOnly, ['1', '8388608', '3']],
    ['a sequence', sequenceCounts, ['10,1', '11,8388608', '12,3']],
    [
      'device time',
      { ...sequenceCounts, sequence: null, deviceTimeUs: { field: 0, modulus: 2 ** 32, numeral: 'decimal' } },
      ['0,1', '12500,8388608', '25000,3'],
    ],
  ] satisfies [string, AmplifierProfile, string[]][])(
    'keeps its slot empty, with %s',
    (_, profile, lines) => {
      const batch = decodeLines(profile, lines);
      expect(slotsBySegment([batch])).toEqual([[1, null, 3]]);
      expect(faultsOf(batch)).toEqual(['beyondRails 1: 8388608']);
      expect(batch.faults[0]?.slot).toBe(1);
      expect(batch.lastBadLine).toBeNull();
    },
  );

  it('is told with the first such number of a batch, and its gap joins that of lost samples', () => {
    const batch = decodeLines(sequenceCounts, ['10,1', '13,-9000000', '14,9999999', '15,2']);
    expect(faultsOf(batch)).toEqual(['sequenceGap 2', 'beyondRails 2: -9000000']);
    expect(batch.blocks[0]?.gaps).toEqual([{ offset: 1, length: 4 }]);
  });

  it('may begin a segment', () => {
    const batch = decodeLines(sequenceCounts, ['10,9999999', '11,1']);
    expect(slotsBySegment([batch])).toEqual([[null, 1]]);
  });
});

describe('status flags', () => {
  const flagged: AmplifierProfile = {
    ...countsOnly,
    statusFlags: {
      field: 1,
      numeral: 'hex',
      bits: [
        { bit: 0, meaning: 'input over range', isFault: true },
        { bit: 1, meaning: 'filter settled', isFault: false },
        { bit: 31, meaning: 'supply too low', isFault: true },
      ],
    },
  };

  it('are told when a bit that is a fault becomes set, with its meaning and the samples that have it', () => {
    const batch = decodeLines(flagged, ['1,0', '2,1', '3,3', '4,2', '5,0']);
    expect(faultsOf(batch)).toEqual(['deviceFlag 2: input over range']);
    expect(batch.faults[0]?.slot).toBe(1);
    expect(slotsBySegment([batch])).toEqual([[1, 2, 3, 4, 5]]);
  });

  it('are told bit by bit, the highest included', () => {
    expect(faultsOf(decodeLines(flagged, ['1,80000001', '2,80000000']))).toEqual([
      'deviceFlag 1: input over range',
      'deviceFlag 2: supply too low',
    ]);
  });

  it('are told once in a batch, however often a bit flickers', () => {
    expect(faultsOf(decodeLines(flagged, ['1,1', '2,0', '3,1', '4,0', '5,1']))).toEqual([
      'deviceFlag 3: input over range',
    ]);
  });

  it('are not told again while a bit stays set', () => {
    const decoder = createAmplifierStreamDecoder(flagged);
    const takeAfter = (lines: readonly string[]) => {
      for (const line of lines) decoder.push(line, 0);
      return faultsOf(decoder.take());
    };
    expect(takeAfter(['x', '1,1', '2,1'])).toEqual(['deviceFlag 2: input over range']);
    expect(takeAfter(['3,1', '4,1'])).toEqual([]);
    expect(takeAfter(['5,0'])).toEqual([]);
    expect(takeAfter(['6,0', '7,1'])).toEqual(['deviceFlag 1: input over range']);
  });

  it('that stay set stand in each batch, until a line has them no more', () => {
    const decoder = createAmplifierStreamDecoder(flagged);
    const standingAfter = (lines: readonly string[]) => {
      for (const line of lines) decoder.push(line, 0);
      return decoder.take()?.standingFlags;
    };
    expect(standingAfter(['x', '1,0', '2,80000001'])).toEqual(['input over range', 'supply too low']);
    expect(standingAfter(['3,80000003'])).toEqual(['input over range', 'supply too low']);
    expect(standingAfter(['4,80000002', 'unreadable'])).toEqual(['supply too low']);
    expect(standingAfter(['5,1', '6,2'])).toEqual([]);
  });

  it('that cannot be read make the line unreadable', () => {
    const batch = decodeLines(flagged, ['1,0', '2,', '3,x', '4', '5,0']);
    expect(faultsOf(batch)).toEqual(['badLine 3']);
    expect(slotsBySegment([batch])).toEqual([[1, 5]]);
  });
});

describe('a segment that is broken on request', () => {
  it('ends with the samples before it and begins anew with the next line', () => {
    const decoder = createAmplifierStreamDecoder(sequenceCounts);
    ['x', '10,1', '11,2'].forEach((line) => {
      decoder.push(line, 0);
    });
    decoder.breakSegment();
    decoder.push('12,3', PERIOD_US);
    const batch = decoder.take();
    expect(batch && slotsBySegment([batch])).toEqual([[1, 2], [3]]);
    expect(faultsOf(batch)).toEqual(['segmentBreak 1']);
  });

  it('is no fault before there was a sample, and tells nothing until a line comes', () => {
    const decoder = createAmplifierStreamDecoder(countsOnly);
    decoder.breakSegment();
    decoder.push('x', 0);
    decoder.push('5', 0);
    expect(decoder.take()?.faults).toEqual([]);
    decoder.breakSegment();
    decoder.breakSegment();
    expect(decoder.take()).toBeNull();
    decoder.push('6', 0);
    expect(faultsOf(decoder.take())).toEqual(['segmentBreak 1']);
  });
});
