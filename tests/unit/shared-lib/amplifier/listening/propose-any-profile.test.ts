import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AmplifierProfile } from '../../../../../shared-lib/amplifier/amplifier-profile.ts';
import { checkProfile } from '../../../../../shared-lib/amplifier/check-profile.ts';
import {
  createLineDecoder,
  type DecodedLine,
} from '../../../../../shared-lib/amplifier/decode-amplifier-line.ts';
import { createLineFormatter } from '../../../../../shared-lib/amplifier/format-amplifier-line.ts';
import { listeningSchema } from '../../../../../shared-lib/amplifier/listening-model.ts';
import { arbitraryProfile } from '../../../../helpers/arbitrary-profile.ts';
import { createSimulatedBench } from '../../../../../shared-lib/simulation/simulated-bench.ts';
import { listenTo } from './hear-lines.ts';

const LISTENED_S = 4;

/**
 * What lines cannot tell, so that no proposal can be held to it:
 * - hexadecimal counts whose bits are no multiple of 4: the width in which they are written is that of more bits, and a
 *   negative number of 22 bits reads as a positive one of 24;
 * - a sequence that advances so little that it is no counter yet, or starts again so often that it is noise.
 * Counts must move by several units, else they are like flags.
 */
const readableProfile = arbitraryProfile
  .filter((profile) => profile.countsForm.numeral === 'decimal' || profile.countsForm.bits % 4 === 0)
  .map((profile): AmplifierProfile => {
    const rateHz = 20 + (profile.nominalRateHz % 400);
    const converterBits = Math.max(20, profile.converterBits);
    const { countsForm } = profile;
    return {
      ...profile,
      nominalRateHz: rateHz,
      converterBits,
      countsForm:
        countsForm.numeral === 'hex'
          ? { numeral: 'hex', bits: Math.max(countsForm.bits, 4 * Math.ceil(converterBits / 4)) }
          : countsForm,
    };
  })
  .filter((profile) => !checkProfile(profile).some(({ severity }) => severity === 'error'));

describe('listening to any profile', () => {
  it('first proposes one that reads the counts that were written', () => {
    fc.assert(
      fc.property(
        readableProfile,
        fc.integer({ min: 1, max: 1e6 }),
        fc.nat(1e6),
        (profile, seed, startedAt) => {
          const rateHz = profile.nominalRateHz;
          const bench = createSimulatedBench({
            seed,
            sampleRateHz: rateHz,
            converterBits: profile.converterBits,
          });
          const counts = bench.nextCounts(Math.ceil(rateHz * (LISTENED_S + 1)));
          const format = createLineFormatter(profile);
          const lines: string[] = [];
          const listener = listenTo({
            rateHz,
            write(index) {
              const line = format({
                sequence: startedAt + index,
                timeUs: startedAt * 1000 + Math.round((index * 1e6) / rateHz),
                counts: counts[index] ?? 0,
              });
              lines.push(line);
              return line;
            },
          });
          listener.hear(LISTENED_S);
          const analysis = listener.analyse();
          const [best] = analysis.proposals;
          if (!best)
            throw new Error(
              `Nothing was proposed: ${analysis.problem?.sentence ?? 'no reason'} ${lines.at(-1)}`,
            );
          const decode = createLineDecoder(best.profile);
          const into: DecodedLine = { counts: 0, sequence: 0, timeUs: 0, flags: 0 };
          for (const [index, line] of lines.entries()) {
            expect([line, decode(line, into), into.counts]).toEqual([line, null, counts[index]]);
          }
          expect(best.readableShare).toBe(1);
          expect(listeningSchema.shape.proposals.parse(analysis.proposals)).toEqual(analysis.proposals);
          expect(listeningSchema.shape.fields.parse(analysis.fields)).toEqual(analysis.fields);
        },
      ),
      { numRuns: 40, seed: 20 },
    );
  }, 120_000);
});
