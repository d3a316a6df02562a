import {
  createLineAnalyser,
  type LineAnalyser,
  type LineAnalysis,
} from '../../../../../shared-lib/amplifier/listening/analyse-lines.ts';
import { createHeardLineSplitter } from '../../../../../shared-lib/amplifier/listening/split-heard-lines.ts';
import { createSeededRandom } from '../../../../../shared-lib/simulation/seeded-random.ts';

const BAUD_RATE = 115_200;
/** A USB converter hands over what it has every so often. */
const CHUNK_US = 16_000;
/** As often as the listening is told to a window. */
const ANALYSIS_INTERVAL_US = 200_000;

export interface Device {
  readonly rateHz: number;
  readonly write: (index: number, counts: number) => string;
  /** Counts at the sample; a quiet load cell with some noise where it is left out. */
  readonly countsAt?: (index: number, noise: number) => number;
}

export interface Listener {
  /** Hears the device for so long. */
  hear(durationS: number): void;
  analyse(): LineAnalysis;
}

export const quietCounts = (_index: number, noise: number): number => Math.round(-123_456 + 40 * noise);

/** Everything from bytes to analysis, at the arrival times of a device that sends at a steady rate. */
export function listenTo(device: Device, analyser: LineAnalyser = createLineAnalyser()): Listener {
  const splitter = createHeardLineSplitter();
  const random = createSeededRandom(11, 0);
  const countsAt = device.countsAt ?? quietCounts;
  let next = 0;
  let nowUs = 5_000_000;
  let analysedUs = nowUs;
  return {
    hear(durationS) {
      const endUs = nowUs + durationS * 1e6;
      while (nowUs < endUs) {
        nowUs += CHUNK_US;
        if (nowUs - analysedUs >= ANALYSIS_INTERVAL_US) {
          analysedUs = nowUs;
          analyser.analyse(BAUD_RATE);
        }
        const due = Math.floor(((nowUs - 5_000_000) * device.rateHz) / 1e6);
        let text = '';
        for (; next < due; next += 1) text += device.write(next, countsAt(next, 2 * random.uniform() - 1));
        if (text === '') continue;
        const bytes = Uint8Array.from(text, (character) => character.charCodeAt(0));
        analyser.push(splitter.push(bytes, nowUs));
      }
    },
    analyse: () => analyser.analyse(BAUD_RATE),
  };
}

/** What is made of a device after so many seconds. */
export function analysisOf(device: Device, durationS = 4): LineAnalysis {
  const listener = listenTo(device);
  listener.hear(durationS);
  return listener.analyse();
}
