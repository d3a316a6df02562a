import type { StreamFault } from '../../shared-lib/amplifier/amplifier-stream-decoder.ts';
import type { AmplifierStatus } from '../../shared-lib/bench-status.ts';

type StreamCounters = AmplifierStatus['counters'];

export const noCounters: StreamCounters = {
  samples: 0,
  badLines: 0,
  badChecksums: 0,
  lostSamples: 0,
  rails: 0,
  duplicateLines: 0,
  beyondRails: 0,
};

/** What the stream's faults add up to since the connection was made. */
export function countFault(
  counters: StreamCounters,
  kind: StreamFault['kind'],
  count: number,
): StreamCounters {
  const counter = counterOf(kind);
  return counter === null ? counters : { ...counters, [counter]: counters[counter] + count };
}

function counterOf(kind: StreamFault['kind']): keyof StreamCounters | null {
  switch (kind) {
    case 'badLine':
      return 'badLines';
    case 'badChecksum':
      return 'badChecksums';
    case 'sequenceGap':
    case 'queueOverflow':
      return 'lostSamples';
    case 'rail':
      return 'rails';
    case 'duplicateLine':
      return 'duplicateLines';
    case 'beyondRails':
      return 'beyondRails';
    case 'stuck':
    case 'segmentBreak':
    case 'deviceFlag':
      return null;
  }
}
