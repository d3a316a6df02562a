import { describe, expect, it } from 'vitest';
import {
  readyMadeProfiles,
  type AmplifierProfile,
} from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import {
  createAmplifierStreamDecoder,
  type StreamBatch,
} from '../../../../shared-lib/amplifier/amplifier-stream-decoder.ts';

const [countsOnly, sequenceCounts, checked] = readyMadeProfiles as [
  AmplifierProfile,
  AmplifierProfile,
  AmplifierProfile,
];

/** Feeds lines 12.5 ms apart, behind the one that every opening passes over. */
function decodeLines(profile: AmplifierProfile, lines: readonly string[]): StreamBatch {
  const decoder = createAmplifierStreamDecoder(profile);
  ['cut off', ...lines].forEach((line, index) => {
    decoder.push(line, index * 12_500);
  });
  return decoder.take() ?? { blocks: [], faults: [], lastBadLine: null };
}

const faultKinds = (batch: StreamBatch) => batch.faults.map(({ kind, count }) => `${kind} ${count}`);

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
    expect(faultKinds(batch)).toEqual(['sequenceGap 2']);
    expect(batch.faults[0]?.slot).toBe(1);
  });

  it('tells all losses of one stretch as one fault with their number, from the first of them on', () => {
    const batch = decodeLines(sequenceCounts, ['10,1', '12,2', '14,3', '15,4', '18,5']);
    expect(faultKinds(batch)).toEqual(['sequenceGap 4']);
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
    expect(faultKinds(batch)).toEqual(['segmentBreak 1']);
  });

  it('counts what it cannot read by its kind and shows the newest text', () => {
    const batch = decodeLines(checked, ['$1,0,5*1D', 'noise', '$2,9,5*00', '\u0000\u00ff']);
    expect(faultKinds(batch)).toEqual(['badLine 2', 'badChecksum 2']);
    expect(batch.lastBadLine).toBe('\u0000\u00ff');
  });

  it('tells samples at the rails of the converter', () => {
    expect(faultKinds(decodeLines(countsOnly, ['1', '8388607', '8388607', '-8388608', '2']))).toEqual([
      'rail 3',
    ]);
  });

  it('tells a value that stands still for a second after it had moved, once', () => {
    const still = Array<string>(200).fill('7');
    expect(faultKinds(decodeLines(countsOnly, still))).toEqual([]);
    expect(faultKinds(decodeLines(countsOnly, ['6', ...still]))).toEqual(['stuck 80']);
    expect(faultKinds(decodeLines(countsOnly, ['6', ...still, '8', ...still]))).toEqual([
      'stuck 80',
      'stuck 80',
    ]);
  });
});
