import { once } from 'node:events';
import { ReadlineParser } from '@serialport/parser-readline';
import { createAmplifierStreamDecoder } from '../../shared-lib/amplifier/amplifier-stream-decoder.ts';
import { readyMadeProfiles } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { createLineDecoder } from '../../shared-lib/amplifier/decode-amplifier-line.ts';
import { createLineFormatter } from '../../shared-lib/amplifier/format-amplifier-line.ts';
import { countLostSlots } from '../../shared-lib/signal/sample-block.ts';
import { createSeededRandom } from '../../shared-lib/simulation/seeded-random.ts';
import { createLineLengthGuard } from '../../main/amplifier/line-length-guard.ts';
import type { Figure } from '../measured-figures.ts';
import { isRefutedByChecksum } from './checksum-oracle.ts';
import { mutateLine } from './mutate-line.ts';

const LINES = 1_000_000;
const LINES_PER_CHUNK = 200;
const RATE_HZ = 10_000;

interface Tally {
  /** Lines as the parser cut them, without the first, which every decoder passes over. */
  readonly parsed: number;
  readonly samples: number;
  readonly counted: number;
  /** Accepted although the checksum refutes it. */
  readonly wronglyAccepted: number;
}

/**
 * F2: lines with everything wrong through the guard, the parser and the decoder of the reader process.
 *
 * Met where every line is either a sample or counted as a fault, and none is a sample that its checksum refutes. Beside
 * it the same lines without mutation, which must all be samples.
 */
export async function measureMutatedLines(lineCount = LINES): Promise<Figure> {
  const sound = await run(lineCount, false);
  const mutated = await run(lineCount, true);
  const lostOfSound = sound.parsed - sound.samples;
  const unaccounted = Math.abs(mutated.parsed - mutated.samples - mutated.counted);
  const value = unaccounted + mutated.wronglyAccepted;
  return {
    value,
    unit: 'lines neither read nor counted, or read against their checksum',
    baseline: lostOfSound,
    limit: 0,
    met: value === 0 && lostOfSound === 0,
    note:
      `${lineCount} lines with one to three mutations each: ${mutated.parsed} lines cut by the parser, ${mutated.samples} read, ` +
      `${mutated.counted} counted as faults, ${mutated.wronglyAccepted} read against their checksum. Baseline: lines lost of as many sound ones.`,
  };
}

async function run(lineCount: number, isMutated: boolean): Promise<Tally> {
  const profile = readyMadeProfiles.find(({ checksum }) => checksum === 'xor');
  if (!profile) throw new Error('There is no ready-made profile with a checksum');
  const random = createSeededRandom(20_261_125, 7);
  const format = createLineFormatter({ ...profile, nominalRateHz: RATE_HZ });
  const decoder = createAmplifierStreamDecoder({ ...profile, nominalRateHz: RATE_HZ });
  const decodeAlone = createLineDecoder(profile);
  const into = { counts: 0, sequence: 0, timeUs: 0, flags: 0 };
  let arrivalUs = 0;
  let parsed = -1;
  let overlong = 0;
  let samples = 0;
  let counted = 0;
  let wronglyAccepted = 0;

  const guard = createLineLengthGuard('\n', (text) => {
    overlong += 1;
    decoder.countUnreadable(text);
  });
  const parser = new ReadlineParser({ delimiter: '\n', encoding: 'latin1' });
  parser.on('data', (line: string) => {
    parsed += 1;
    decoder.push(line, arrivalUs);
    if (decodeAlone(line, into) === null && isRefutedByChecksum(line)) wronglyAccepted += 1;
  });

  const takeAll = (): void => {
    const batch = decoder.take();
    for (const block of batch?.blocks ?? []) samples += block.counts.length - countLostSlots(block.gaps);
    for (const { kind, count } of batch?.faults ?? []) {
      if (
        kind === 'badLine' ||
        kind === 'badChecksum' ||
        kind === 'duplicateLine' ||
        kind === 'beyondRails'
      ) {
        counted += count;
      }
    }
  };

  for (let sequence = 0; sequence < lineCount;) {
    let text = '';
    for (let inChunk = 0; inChunk < LINES_PER_CHUNK && sequence < lineCount; inChunk += 1, sequence += 1) {
      const timeUs = Math.round((sequence * 1e6) / RATE_HZ);
      const counts = Math.floor((random.uniform() - 0.5) * 2 ** 23);
      const line = format({ sequence, timeUs, counts });
      text += isMutated ? `${mutateLine(line.trimEnd(), random)}\n` : line;
    }
    arrivalUs = (sequence * 1e6) / RATE_HZ;
    for (const passed of guard.pass(Buffer.from(text, 'latin1'))) parser.write(passed);
    takeAll();
  }
  parser.end();
  await once(parser, 'end');
  takeAll();
  return { parsed: parsed + overlong, samples, counted, wronglyAccepted };
}
