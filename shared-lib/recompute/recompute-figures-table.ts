import { FIGURES_FORM } from '../package/figures-form.ts';
import { FIGURES_FILE } from '../package/package-tables.ts';
import { figuresTable } from '../tables/figures-table.ts';
import { writeCsv } from '../tables/write-csv.ts';
import { compareValues } from './compare-values.ts';
import type { PackageFiles } from './package-files.ts';
import { isNumberText, readRows, type Row } from './read-rows.ts';
import type { RecomputedTrial } from './recompute-trials.ts';
import { newestAsOf, standingAsOf } from './stored-trials.ts';
import type { SuspectWindows } from './suspect-windows.ts';
import type { Tally } from './tally.ts';

/** The table of figures is written anew from the computed ones and held against the one of the package, cell by cell. */
export async function recomputeFiguresTable(
  files: PackageFiles,
  {
    windows,
    recomputed,
  }: { readonly windows: SuspectWindows; readonly recomputed: readonly RecomputedTrial[] },
  tally: Tally,
): Promise<void> {
  if (!files.names().includes(FIGURES_FILE)) {
    tally.differ('lines of the table of figures', FIGURES_FILE, 'The table is not there.');
    return;
  }
  const said = readRows(await files.text(FIGURES_FILE), FIGURES_FILE);
  const trials = recomputed.toSorted((a, b) => compareTexts(timeOf(a), timeOf(b)));
  const table = figuresTable(trials.map((trial) => toTabled(trial, windows)));
  const csv = writeCsv([table.columns.map(({ name }) => name), ...table.rows], FIGURES_FORM);
  const computedRows = readRows(csv, FIGURES_FILE);
  const computed = new Map(computedRows.map((row) => [row['trial_id'], row]));
  const common = commonColumns(said[0], computedRows[0], tally);
  for (const row of said) {
    const id = row['trial_id'] ?? '';
    const ofTrial = computed.get(id);
    computed.delete(id);
    if (ofTrial === undefined) {
      tally.differ(
        'lines of the table of figures',
        `${FIGURES_FILE}, trial ${id}`,
        'The package has no such trial, or the table has it twice.',
      );
      continue;
    }
    const where = `${FIGURES_FILE}, trial ${id}`;
    compareValues(
      tally,
      'lines of the table of figures',
      { where },
      numbersOf(row, common),
      numbersOf(ofTrial, common),
    );
  }
  for (const id of computed.keys()) {
    tally.differ(
      'lines of the table of figures',
      `${FIGURES_FILE}, trial ${id}`,
      'The table lacks this trial.',
    );
  }
}

/** So that what another engine rounds otherwise is still taken for a number. */
function numbersOf(row: Row, columns: readonly string[]): Record<string, unknown> {
  return Object.fromEntries(
    columns.map((column) => {
      const cell = row[column] ?? null;
      return [column, cell !== null && isNumberText(cell) ? Number(cell) : cell];
    }),
  );
}

/** Another version of the program may have others. */
function commonColumns(said: Row | undefined, computed: Row | undefined, tally: Tally): string[] {
  const [ofPackage, ofProgram] = [Object.keys(said ?? {}), Object.keys(computed ?? {})];
  const unknown = ofPackage.filter((column) => !ofProgram.includes(column));
  if (unknown.length > 0) {
    tally.note(
      FIGURES_FILE,
      `This program does not know the columns ${unknown.join(', ')}, so they were not computed again.`,
    );
  }
  return ofPackage.filter((column) => ofProgram.includes(column));
}

function timeOf({ trial }: RecomputedTrial): string {
  return `${trial.startedAt} ${trial.id}`;
}

function compareTexts(a: string, b: string): number {
  return a < b ? -1 : Number(a > b);
}

function toTabled(
  { trial, figures, presentSlots }: RecomputedTrial,
  windows: SuspectWindows,
): Parameters<typeof figuresTable>[0][number] {
  const { id, sessionId, startedAt, step, isSimulated, conditions, slotCount, zeroAfterCounts } = trial;
  const named = newestAsOf(trial.namings, null) ?? trial.namings[0];
  return {
    record: {
      summary: {
        id,
        sessionId,
        startedAt,
        step: { ...step, toolName: named.toolName },
        ...standingAsOf(trial, null),
        suspicion: windows.suspicionOf({ id, calibrationId: conditions.calibrationId, startedAt }, null),
        isSimulated,
        setup: named.setup,
        place: conditions.place,
      },
      conditions,
      slotCount,
      lostSlots: slotCount - presentSlots,
      zeroAfterCounts,
    },
    figures: trial.decisions.some(({ decision }) => decision === 'kept') ? (figures.at(-1) ?? null) : null,
  };
}
