import { tableNamed } from '../../shared-lib/package/package-tables.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { keyOfRow, planOf, type RowComparison, stagedRows } from './compare-rows.ts';
import type { Row } from './read-cells.ts';

type Words = readonly [one: string, many: string];

/** In this order they are told. */
const entryWords: Readonly<Record<string, Words>> = {
  trial: ['trial', 'trials'],
  tool: ['tool', 'tools'],
  calibration: ['calibration', 'calibrations'],
  calibration_run: ['guided calibration', 'guided calibrations'],
  setup: ['setup', 'setups'],
  pack: ['pack', 'packs'],
  run_sheet: ['run sheet', 'run sheets'],
  session: ['session', 'sessions'],
  transducer: ['transducer', 'transducers'],
  amplifier: ['amplifier', 'amplifiers'],
};

/** Entries that are not here, counted: "2 trials", "1 run sheet". */
export function newEntriesInWords(rows: RowComparison): string[] {
  return Object.entries(entryWords).flatMap(([table, words]) =>
    countWords(planOf(rows, table).newKeys.size, words),
  );
}

interface Addition {
  readonly table: string;
  /** Left out: every row of the table. */
  readonly is?: (row: Row) => boolean;
  readonly words: Words;
}

const decided = (decision: string, ...words: Words): Addition => ({
  table: 'trial_decision',
  is: (row) => row['decision'] === decision,
  words,
});

/** What can be added to an entry that is here, what changes a result the most first. */
export const additions: readonly Addition[] = [
  decided('voided', 'void', 'voids'),
  decided('restored', 'void taken back', 'voids taken back'),
  decided('kept', 'decision to keep', 'decisions to keep'),
  decided('interrupted', 'interruption', 'interruptions'),
  { table: 'calibration_assignment', words: ['other calibration', 'other calibrations'] },
  { table: 'trial_evaluation', words: ['set of figures', 'sets of figures'] },
  {
    table: 'suspicion_decision',
    words: ['decision about a suspect trial', 'decisions about suspect trials'],
  },
  { table: 'relabelling', words: ['tool or setup put right', 'tools or setups put right'] },
  { table: 'trial_annotation', words: ['note', 'notes'] },
  { table: 'daily_check', words: ['daily check', 'daily checks'] },
  { table: 'overload', words: ['overload', 'overloads'] },
  { table: 'rig_ringing', words: ['tap of the rig', 'taps of the rig'] },
  {
    table: 'tool_merge',
    is: (row) => row['into_tool_id'] !== null,
    words: ['merge of tools', 'merges of tools'],
  },
  {
    table: 'tool_merge',
    is: (row) => row['into_tool_id'] === null,
    words: ['merge taken back', 'merges taken back'],
  },
  { table: 'tool_details', words: ['change to a tool', 'changes to tools'] },
  { table: 'handling_rating', words: ['handling rating', 'handling ratings'] },
  { table: 'rating_withdrawal', words: ['rating taken back', 'ratings taken back'] },
  { table: 'tool_photo', words: ['picture', 'pictures'] },
  { table: 'session_step_level', words: ['onset level', 'onset levels'] },
  { table: 'run_sheet_entry', words: ['pull of a run sheet', 'pulls of run sheets'] },
  { table: 'run_sheet_event', words: ['event of a run sheet', 'events of run sheets'] },
];

/** What is added to entries that are here, counted: "1 void", "2 other calibrations". `ended`: see `endedSince`. */
export function addedInWords(
  staging: ReadableDatabase,
  rows: RowComparison,
  ended: { readonly sessionIds: readonly string[]; readonly calibrationIds: readonly string[] },
): string[] {
  const added = additions.flatMap(({ table, is, words }) => {
    const { addedToKnown } = planOf(rows, table);
    if (addedToKnown.size === 0) return [];
    const definition = tableNamed(table);
    const meant = [...stagedRows(staging, definition)].filter(
      (row) => addedToKnown.has(keyOfRow(definition, row)) && (is?.(row) ?? true),
    );
    return countWords(meant.length, words);
  });
  return [
    ...added,
    ...countWords(ended.calibrationIds.length, ['calibration superseded', 'calibrations superseded']),
    ...countWords(ended.sessionIds.length, ['session ended', 'sessions ended']),
  ];
}

/** Nothing for none. */
export function countWords(count: number, [one, many]: Words): string[] {
  return count === 0 ? [] : [`${count} ${count === 1 ? one : many}`];
}
