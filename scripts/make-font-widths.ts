import { readFileSync, writeFileSync } from 'node:fs';
import { format, resolveConfig } from 'prettier';
import { readWoffAdvances } from './read-woff.ts';

/** Writes shared-lib/picture/font-widths.ts from the font files that are shipped. Run after every other version of the font. */
const WEIGHTS = [400, 600, 700] as const;
/** Scripts of the pictures; where two files have a character, the first has the say, as in the page. */
const SUBSETS = ['latin', 'latin-ext', 'greek', 'cyrillic', 'vietnamese'] as const;
const TARGET = new URL('../shared-lib/picture/font-widths.ts', import.meta.url);

/** Phonetic signs and the like, which no name and no sentence has, are left out. */
function isWritten(codePoint: number): boolean {
  return (
    (codePoint >= 0x20 && codePoint < 0x250) ||
    (codePoint >= 0x370 && codePoint < 0x530) ||
    (codePoint >= 0x1e00 && codePoint < 0xa000)
  );
}

function fontFile(subset: string, weight: number): Uint8Array {
  return readFileSync(
    new URL(`../node_modules/@fontsource/inter/files/inter-${subset}-${weight}-normal.woff`, import.meta.url),
  );
}

interface WeightTable {
  readonly unitsPerEm: number;
  readonly figureAdvance: number;
  readonly advances: ReadonlyMap<number, number>;
}

function advancesOf(weight: number): WeightTable {
  const fonts = SUBSETS.map((subset) => readWoffAdvances(fontFile(subset, weight)));
  const advances = new Map<number, number>();
  for (const font of fonts) {
    for (const [codePoint, advance] of font.advances) {
      if (isWritten(codePoint) && !advances.has(codePoint)) advances.set(codePoint, advance);
    }
  }
  const unitsPerEm = fonts[0]?.unitsPerEm ?? 0;
  if (fonts.some((font) => font.unitsPerEm !== unitsPerEm))
    throw new Error('The files differ in their units');
  const figureAdvance = fonts[0]?.figureAdvance ?? null;
  if (figureAdvance === null) throw new Error('The font has no figures of one width');
  return { unitsPerEm, figureAdvance, advances };
}

/** Neighbouring code points as runs: the first one, then the advance of each. */
function runsOf(advances: ReadonlyMap<number, number>): number[][] {
  const runs: number[][] = [];
  let next = -1;
  for (const [codePoint, advance] of [...advances].toSorted(([one], [other]) => one - other)) {
    if (codePoint === next) runs.at(-1)?.push(advance);
    else runs.push([codePoint, advance]);
    next = codePoint + 1;
  }
  return runs;
}

const tables = WEIGHTS.map((weight) => ({ weight, ...advancesOf(weight) }));
const { version } = JSON.parse(
  readFileSync(new URL('../node_modules/@fontsource/inter/package.json', import.meta.url), 'utf8'),
) as { version: string };
const source = `/**
 * Made by scripts/make-font-widths.ts from @fontsource/inter ${version} (Inter, SIL Open Font License 1.1); not to be edited.
 *
 * Advance widths without kerning, in units of ${tables[0]?.unitsPerEm ?? 0} to the em. Each run: the first code point, then the advance of it and
 * of each that follows.
 */
export const FONT_UNITS_PER_EM = ${tables[0]?.unitsPerEm ?? 0};

/** Of each figure where they stand in columns. */
export const figureAdvances = {
${tables.map(({ weight, figureAdvance }) => `${weight}: ${figureAdvance},`).join('\n')}
} as const satisfies Readonly<Record<number, number>>;

export const fontAdvances = {
${tables.map(({ weight, advances }) => `${weight}: ${JSON.stringify(runsOf(advances))},`).join('\n')}
} as const satisfies Readonly<Record<number, readonly (readonly number[])[]>>;
`;
const config = await resolveConfig(TARGET);
writeFileSync(TARGET, await format(source, { ...config, filepath: TARGET.pathname }));
