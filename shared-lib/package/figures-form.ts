import type { CsvForm } from '../tables/write-csv.ts';

/** How `tables/trial-figures.csv` is written: people open it in spreadsheets, so texts that would be formulas are guarded. */
export const FIGURES_FORM: CsvForm = { separator: ',', decimal: '.', guardsFormulas: true };
