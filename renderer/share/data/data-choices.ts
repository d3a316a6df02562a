import { z } from 'zod';

/** What was chosen for data in this browser; the next file is mostly wanted alike. */
const STORAGE_KEY = 'proofarm.shareData';

export const licenceChoices = [
  { key: 'none', label: 'None stated', note: 'Others may look at the data, but not pass them on.' },
  {
    key: 'CC-BY-4.0',
    label: 'CC BY 4.0',
    note: 'Others may use and pass them on, and have to name you.',
  },
  { key: 'CC0-1.0', label: 'CC0 1.0', note: 'Others may do with them what they like.' },
] as const;

export const spreadsheetChoices = [
  { key: 'comma', label: '1.5, columns by comma', separator: ',', decimal: '.' },
  { key: 'semicolon', label: '1,5, columns by semicolon', separator: ';', decimal: ',' },
  { key: 'mixed', label: '1.5, columns by semicolon', separator: ';', decimal: '.' },
] as const;

const dataChoicesSchema = z.strictObject({
  licence: z.literal(['none', 'CC-BY-4.0', 'CC0-1.0']),
  withPhotos: z.boolean(),
  spreadsheet: z.literal(['comma', 'semicolon', 'mixed']),
});
export type DataChoices = z.infer<typeof dataChoicesSchema>;

export const firstChoices: DataChoices = { licence: 'none', withPhotos: false, spreadsheet: 'comma' };

/** What was stored by another version, or by hand, counts as nothing. */
export function readDataChoices(text: string | null): DataChoices {
  if (text === null) return firstChoices;
  try {
    return dataChoicesSchema.safeParse(JSON.parse(text)).data ?? firstChoices;
  } catch (error) {
    if (error instanceof SyntaxError) return firstChoices;
    throw error;
  }
}

export function rememberedDataChoices(): DataChoices {
  return readDataChoices(localStorage.getItem(STORAGE_KEY));
}

export function rememberDataChoices(choices: DataChoices): void {
  localStorage.setItem(STORAGE_KEY, JSON.stringify(choices));
}

/** Whose data go out. */
export function countWords(count: number): string {
  switch (count) {
    case 0:
      return 'No trial goes with it: only what is stored of the bench itself, such as readings of calibrations.';
    case 1:
      return 'The data of 1 trial go out, with every sample.';
    default:
      return `The data of ${count} trials go out, with every sample. Those that were voided or do not count are among them and say so.`;
  }
}
