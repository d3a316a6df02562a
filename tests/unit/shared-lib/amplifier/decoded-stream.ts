import {
  readyMadeProfiles,
  type AmplifierProfile,
} from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import {
  createAmplifierStreamDecoder,
  type StreamBatch,
} from '../../../../shared-lib/amplifier/amplifier-stream-decoder.ts';

export const [countsOnly, sequenceCounts, checked] = readyMadeProfiles as [
  AmplifierProfile,
  AmplifierProfile,
  AmplifierProfile,
];

export const PERIOD_US = 12_500;

/** Feeds lines 12.5 ms apart, behind the one that every opening passes over. */
export function decodeLines(profile: AmplifierProfile, lines: readonly string[]): StreamBatch {
  const decoder = createAmplifierStreamDecoder(profile);
  ['cut off', ...lines].forEach((line, index) => {
    decoder.push(line, index * PERIOD_US);
  });
  return decoder.take() ?? { blocks: [], faults: [], standingFlags: [], lastBadLine: null };
}

/** "kind count", with ": detail" where there is one. */
export const faultsOf = (batch: StreamBatch | null): string[] =>
  (batch?.faults ?? []).map(
    ({ kind, count, detail }) => `${kind} ${count}${detail === undefined ? '' : `: ${detail}`}`,
  );

/** Samples by segment, null where a slot is empty. */
export function slotsBySegment(batches: readonly StreamBatch[]): (number | null)[][] {
  const segments: (number | null)[][] = [];
  for (const { segment, firstSlot, counts, gaps } of batches.flatMap(({ blocks }) => blocks)) {
    const slots = (segments[segment - 1] ??= []);
    if (slots.length !== firstSlot) throw new Error(`Segment ${segment} goes on at ${firstSlot}`);
    slots.push(...counts);
    for (const { offset, length } of gaps) slots.fill(null, firstSlot + offset, firstSlot + offset + length);
  }
  return segments;
}
