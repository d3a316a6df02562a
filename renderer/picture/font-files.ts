import latin400 from '@fontsource/inter/files/inter-latin-400-normal.woff2?url';
import latin600 from '@fontsource/inter/files/inter-latin-600-normal.woff2?url';
import latin700 from '@fontsource/inter/files/inter-latin-700-normal.woff2?url';
import latinExt400 from '@fontsource/inter/files/inter-latin-ext-400-normal.woff2?url';
import latinExt600 from '@fontsource/inter/files/inter-latin-ext-600-normal.woff2?url';
import latinExt700 from '@fontsource/inter/files/inter-latin-ext-700-normal.woff2?url';
import greek400 from '@fontsource/inter/files/inter-greek-400-normal.woff2?url';
import greek600 from '@fontsource/inter/files/inter-greek-600-normal.woff2?url';
import greek700 from '@fontsource/inter/files/inter-greek-700-normal.woff2?url';
import cyrillic400 from '@fontsource/inter/files/inter-cyrillic-400-normal.woff2?url';
import cyrillic600 from '@fontsource/inter/files/inter-cyrillic-600-normal.woff2?url';
import cyrillic700 from '@fontsource/inter/files/inter-cyrillic-700-normal.woff2?url';
import vietnamese400 from '@fontsource/inter/files/inter-vietnamese-400-normal.woff2?url';
import vietnamese600 from '@fontsource/inter/files/inter-vietnamese-600-normal.woff2?url';
import vietnamese700 from '@fontsource/inter/files/inter-vietnamese-700-normal.woff2?url';
import type { FontPart } from '../../shared-lib/picture/font-subsets.ts';

/** Where the page finds the files of the typeface, the same ones that its rules in picture-fonts.css name. */
const fontFiles = {
  latin: { 400: latin400, 600: latin600, 700: latin700 },
  'latin-ext': { 400: latinExt400, 600: latinExt600, 700: latinExt700 },
  greek: { 400: greek400, 600: greek600, 700: greek700 },
  cyrillic: { 400: cyrillic400, 600: cyrillic600, 700: cyrillic700 },
  vietnamese: { 400: vietnamese400, 600: vietnamese600, 700: vietnamese700 },
} as const satisfies Record<FontPart['subset'], Record<FontPart['weight'], string>>;

export function fontFileOf({ subset, weight }: FontPart): string {
  return fontFiles[subset][weight];
}
