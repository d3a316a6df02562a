import type BetterSqlite3 from 'better-sqlite3';
import { createTables } from './0010-create-tables.ts';
import { keepAmplifiers } from './0020-keep-amplifiers.ts';
import { guideRuns } from './0030-guided-runs.ts';
import { checkCalibrations } from './0040-check-calibrations.ts';
import { planRunSheets } from './0050-run-sheets.ts';
import { keepLogbook } from './0060-logbook.ts';
import { compareTools } from './0070-compare-tools.ts';
import { shareTrials } from './0080-share.ts';
import { groupScores } from './0090-group-scores.ts';

/** One step of the schema. A step that has been released is never edited; what comes later is a new step. */
export interface Migration {
  /** Counts in tens: the `user_version` of the database after this step. */
  readonly version: number;
  readonly up: (database: BetterSqlite3.Database) => void;
}

/** In order; each file is named after its version and what it does. */
export const allMigrations: readonly Migration[] = [
  { version: 10, up: createTables },
  { version: 20, up: keepAmplifiers },
  { version: 30, up: guideRuns },
  { version: 40, up: checkCalibrations },
  { version: 50, up: planRunSheets },
  { version: 60, up: keepLogbook },
  { version: 70, up: compareTools },
  { version: 80, up: shareTrials },
  { version: 90, up: groupScores },
];
