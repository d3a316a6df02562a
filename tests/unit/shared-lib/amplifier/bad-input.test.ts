import { describe, expect, it } from 'vitest';
import type { AmplifierProfile } from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import {
  createAmplifierStreamDecoder,
  type StreamBatch,
} from '../../../../shared-lib/amplifier/amplifier-stream-decoder.ts';
import { createLineFormatter } from '../../../../shared-lib/amplifier/format-amplifier-line.ts';
import {
  checked,
  countsOnly,
  decodeLines,
  faultsOf,
  sequenceCounts,
  slotsBySegment,
} from './decoded-stream.ts';

const timeCounts: AmplifierProfile = {
  ...sequenceCounts,
  sequence: null,
  deviceTimeUs: { field: 0, modulus: 2 ** 32, numeral: 'decimal' },
};
const withModulus = (modulus: number): AmplifierProfile => ({
  ...sequenceCounts,
  sequence: { field: 0, modulus, numeral: 'decimal' },
});

/** Lines with their times of arrival in seconds, behind the first one that is passed over. */
function decodeTimed(profile: AmplifierProfile, lines: readonly (readonly [number, string])[]): StreamBatch {
  const decoder = createAmplifierStreamDecoder(profile);
  decoder.push('cut off', 0);
  for (const [arrivalS, line] of lines) decoder.push(line, arrivalS * 1e6);
  return decoder.take() ?? { blocks: [], faults: [], standingFlags: [], lastBadLine: null };
}

describe('a profile that does not match its amplifier', () => {
  it('reads nothing where a field it needs is not there, and counts every line', () => {
    const batch = decodeLines(sequenceCounts, ['5', '-6', '7']);
    expect(batch.blocks).toEqual([]);
    expect(faultsOf(batch)).toEqual(['badLine 3']);
    expect(batch.lastBadLine).toBe('7');
  });

  it('reads no counter at or beyond its modulus', () => {
    const batch = decodeLines(withModulus(16), ['14,1', '15,2', '16,3']);
    expect(slotsBySegment([batch])).toEqual([[1, 2]]);
    expect(faultsOf(batch)).toEqual(['badLine 1']);
  });

  it('with two meanings in one field reads nothing, and counts every line', () => {
    const overlapping = { ...withModulus(2 ** 32), countsField: 0 };
    const batch = decodeLines(overlapping, ['500', '20', '7000000']);
    expect(batch.blocks).toEqual([]);
    expect(faultsOf(batch)).toEqual(['badLine 3']);
  });

  it('with a modulus too small for the rate ends the segment where a whole modulus may be lost, and invents no gap', () => {
    // 16 numbers last 0.2 s at 80 Sa/s; the host stalls for 0.15 s and the lines that waited come at once.
    const lines = Array.from({ length: 40 }, (_, index): [number, string] => [
      index < 20 ? index / 80 : 0.4,
      `${index % 16},${index}`,
    ]);
    const batch = decodeTimed(withModulus(16), lines);
    expect(slotsBySegment([batch]).map((slots) => slots.length)).toEqual([20, 20]);
    expect(faultsOf(batch)).toEqual([
      'segmentBreak 1: lines stayed away so long that the sequence number may have passed its modulus of 16 unseen',
    ]);
  });
});

describe('a rate that the port cannot carry', () => {
  it('shows as lines cut short or run together, which are counted, and as gaps of the sequence', () => {
    const batch = decodeLines(checked, [
      ...[1, 2].map((sequence) => lineOf(sequence)),
      '$3,37500,1$5,62500,100*00',
      '$6,75',
      ...[7, 8].map((sequence) => lineOf(sequence)),
    ]);
    expect(slotsBySegment([batch])).toEqual([[100, 100, null, null, null, null, 100, 100]]);
    expect(faultsOf(batch)).toEqual(['sequenceGap 4', 'badLine 1', 'badChecksum 1']);
  });
});

describe('mixed line endings', () => {
  it('are read alike, whatever is left of them before or behind the line', () => {
    const batch = decodeLines(sequenceCounts, ['10,1', '11,2\r', '\r12,3', '\n13,4\r\r', '14,5']);
    expect(slotsBySegment([batch])).toEqual([[1, 2, 3, 4, 5]]);
    expect(faultsOf(batch)).toEqual([]);
  });
});

describe('a device that resets in mid-run', () => {
  it('begins a new segment where its sequence starts anew', () => {
    const batch = decodeLines(sequenceCounts, ['900,1', '901,2', '0,3', '1,4']);
    expect(slotsBySegment([batch])).toEqual([
      [1, 2],
      [3, 4],
    ]);
    expect(faultsOf(batch)).toEqual(['segmentBreak 1: the sequence number went from 901 to 0']);
  });

  it('begins a new segment where its time starts anew', () => {
    const batch = decodeLines(timeCounts, ['9000000,1', '9012500,2', '0,3', '12500,4']);
    expect(slotsBySegment([batch])).toEqual([
      [1, 2],
      [3, 4],
    ]);
    expect(faultsOf(batch)).toEqual(['segmentBreak 1: the device time went from 9012500 to 0']);
  });

  it('shows without any counter as the silence that a reset takes, if that is a second or more', () => {
    const batch = decodeTimed(countsOnly, [
      [0.0125, '1'],
      [0.025, '2'],
      [1.425, '3'],
    ]);
    expect(slotsBySegment([batch])).toEqual([[1, 2], [3]]);
    expect(faultsOf(batch)).toEqual(['segmentBreak 1: no line came for 1.40 s']);
  });

  it('may send its greeting between: counted as unreadable, the samples stay', () => {
    const batch = decodeLines(sequenceCounts, ['900,1', 'ready, gain 128', '0,3']);
    expect(slotsBySegment([batch])).toEqual([[1], [3]]);
    expect(faultsOf(batch)).toContain('badLine 1');
  });
});

describe('a number beyond the rails of the converter', () => {
  it('leaves its slot empty on every clock, so that no time moves, and is told with the number', () => {
    for (const [profile, lines] of [
      [countsOnly, ['1', '99999999', '3']],
      [sequenceCounts, ['10,1', '11,99999999', '12,3']],
      [timeCounts, ['0,1', '12500,99999999', '25000,3']],
    ] as const) {
      const batch = decodeLines(profile, lines);
      expect(slotsBySegment([batch])).toEqual([[1, null, 3]]);
      expect(faultsOf(batch)).toEqual(['beyondRails 1: 99999999']);
    }
  });

  it('is no number at the rails, which is a sample', () => {
    const batch = decodeLines(countsOnly, ['8388607', '-8388608', '-8388609']);
    expect(slotsBySegment([batch])).toEqual([[8_388_607, -8_388_608, null]]);
    expect(faultsOf(batch)).toEqual(['beyondRails 1: -8388609', 'rail 2']);
  });
});

describe('a sequence that runs backwards', () => {
  it.each([2 ** 32, 65_536, 256])('is never a gap, with a modulus of %i', (modulus) => {
    const batch = decodeLines(withModulus(modulus), ['100,1', '101,2', '99,3', '98,4', '97,5']);
    expect(slotsBySegment([batch])).toEqual([[1, 2], [3], [4], [5]]);
    expect(batch.faults.every(({ kind }) => kind === 'segmentBreak')).toBe(true);
  });
});

describe('a duplicate line', () => {
  it('is counted and takes no slot where lines have a number or a time', () => {
    for (const [profile, lines] of [
      [sequenceCounts, ['10,1', '10,1', '11,2']],
      [timeCounts, ['0,1', '0,1', '12500,2']],
    ] as const) {
      const batch = decodeLines(profile, lines);
      expect(slotsBySegment([batch])).toEqual([[1, 2]]);
      expect(faultsOf(batch)).toEqual(['duplicateLine 1']);
    }
  });

  it('cannot be told from the next sample where lines have neither', () => {
    expect(slotsBySegment([decodeLines(countsOnly, ['5', '5', '6'])])).toEqual([[5, 5, 6]]);
  });
});

describe('a clock that jumps', () => {
  it.each([
    ['ahead', '3600025000'],
    ['back', '5000'],
  ])('begins a new segment where the device time jumps %s', (_, time) => {
    const batch = decodeLines(timeCounts, ['0,1', '12500,2', `${time},3`, `${Number(time) + 12_500},4`]);
    expect(slotsBySegment([batch])).toEqual([
      [1, 2],
      [3, 4],
    ]);
    expect(faultsOf(batch)).toEqual([`segmentBreak 1: the device time went from 12500 to ${time}`]);
  });

  it('has no effect where a sequence number places the samples', () => {
    const batch = decodeLines(checked, [lineOf(1), lineOf(2, 3_600_000_000), lineOf(3)]);
    expect(slotsBySegment([batch])).toEqual([[100, 100, 100]]);
    expect(faultsOf(batch)).toEqual([]);
  });
});

describe('sleep and wake', () => {
  const asleepS = 20;
  const afterWaking = 3 + asleepS * 80;

  it('keeps the place of every lost sample where the sequence went on meanwhile', () => {
    const batch = decodeTimed(sequenceCounts, [
      [0.0125, '1,1'],
      [0.025, '2,2'],
      [asleepS + 0.0375, `${afterWaking},3`],
    ]);
    expect(faultsOf(batch)).toEqual([`sequenceGap ${asleepS * 80}`]);
  });

  it('begins a new segment where neither number nor time tells what was lost', () => {
    const batch = decodeTimed(countsOnly, [
      [0.0125, '1'],
      [0.025, '2'],
      [asleepS + 0.025, '3'],
    ]);
    expect(slotsBySegment([batch])).toEqual([[1, 2], [3]]);
    expect(faultsOf(batch)).toEqual(['segmentBreak 1: no line came for 20.00 s']);
  });

  it('begins a new segment where the clock of the host stood still as well, once the reader is told', () => {
    for (const [profile, lines] of [
      [countsOnly, ['1', '2', '3']],
      [sequenceCounts, ['1,1', '2,2', '3,3']],
      [timeCounts, ['0,1', '12500,2', '25000,3']],
    ] as const) {
      const decoder = createAmplifierStreamDecoder(profile);
      ['cut off', lines[0], lines[1]].forEach((line, index) => {
        decoder.push(line, index * 12_500);
      });
      decoder.breakSegment();
      decoder.push(lines[2], 37_500);
      const batch = decoder.take();
      expect(batch && slotsBySegment([batch])).toEqual([[1, 2], [3]]);
      expect(faultsOf(batch)).toEqual(['segmentBreak 1']);
    }
  });
});

function lineOf(sequence: number, timeUs = sequence * 12_500): string {
  return createLineFormatter(checked)({ sequence, timeUs, counts: 100 }).trimEnd();
}
