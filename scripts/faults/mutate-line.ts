import type { SeededRandom } from '../../shared-lib/simulation/seeded-random.ts';

/** One thing that a bad cable, a bad driver or a bad device does to the characters of a line. */
type Mutation = (line: string, random: SeededRandom) => string;

const below = (random: SeededRandom, limit: number): number => Math.floor(random.uniform() * limit);
const anyCharacter = (random: SeededRandom): string => String.fromCharCode(below(random, 256));

const mutations: readonly Mutation[] = [
  // A bit turned over.
  (line, random) => {
    const at = below(random, line.length);
    const turned = line.charCodeAt(at) ^ (1 << below(random, 8));
    return `${line.slice(0, at)}${String.fromCharCode(turned)}${line.slice(at + 1)}`;
  },
  // A character lost, doubled, put in from nowhere, or changed places with its neighbour.
  (line, random) => {
    const at = below(random, line.length);
    return line.slice(0, at) + line.slice(at + 1);
  },
  (line, random) => {
    const at = below(random, line.length);
    return line.slice(0, at + 1) + line.slice(at);
  },
  (line, random) => {
    const at = below(random, line.length + 1);
    return line.slice(0, at) + anyCharacter(random) + line.slice(at);
  },
  (line, random) => {
    const at = below(random, Math.max(1, line.length - 1));
    return line.slice(0, at) + line.slice(at + 1, at + 2) + line.slice(at, at + 1) + line.slice(at + 2);
  },
  // The end or the beginning cut off.
  (line, random) => line.slice(0, below(random, line.length + 1)),
  (line, random) => line.slice(below(random, line.length + 1)),
  // One digit for another: what only a checksum can show.
  (line, random) => line.replace(/\d/, String(below(random, 10))),
  // A stretch of noise.
  (line, random) => {
    const noise = Array.from({ length: 1 + below(random, 40) }, () => anyCharacter(random)).join('');
    const at = below(random, line.length + 1);
    return line.slice(0, at) + noise + line.slice(at);
  },
  // Two lines run together, or one sent twice.
  (line) => line + line,
  (line) => `${line}\n${line}`,
  // Endless, for a parser that collects it.
  (line, random) => (random.uniform() < 0.01 ? line.padEnd(9000, '7') : line),
];

/** The line with one to three mutations; now and then what comes out is the line itself. */
export function mutateLine(line: string, random: SeededRandom): string {
  let text = line;
  for (let count = 1 + below(random, 3); count > 0; count -= 1) {
    const mutation = mutations[below(random, mutations.length)];
    if (mutation && text !== '') text = mutation(text, random);
  }
  return text;
}
