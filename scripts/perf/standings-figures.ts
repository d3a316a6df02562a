import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { systemClock } from '../../main/platform/clock.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { appendSchemeVersion } from '../../main/storage/scheme-repository.ts';
import { saveStandingsTable } from '../../main/storage/standings-table-repository.ts';
import { inFolderOfItsOwn } from './folder-of-its-own.ts';
import { inFreshProcesses } from './fresh-processes.ts';
import { makeWorkshop, workshopScheme } from './generated-workshop.ts';
import type { PassingMeasurement, PerfRun } from './perf-run.ts';

const TOOLS = 200;
const TRIALS = 10_000;
const SIZES = { full: [1000, TRIALS, 100_000], short: [1000, TRIALS] };
const TABLE = 'table-of-all';

/** Workshops of one table each, from the smallest to the largest. */
export interface StandingsSubject {
  readonly tableId: string;
  readonly toolCount: number;
  /** Of the workshop that the figures are of; the others show how they grow. */
  readonly trialCount: number;
  readonly workshops: readonly { readonly folder: string; readonly trialCount: number }[];
}

/**
 * P4: standings of 200 tools, their draws, and a page of the Logbook with and without a search, each as the services make it from
 * the database, without the door; and how all that grows with the trials.
 */
export function prepareStandings(run: PerfRun): Promise<PassingMeasurement> {
  return inFolderOfItsOwn((root) => {
    const workshops = SIZES[run.form].map((trialCount) => {
      run.say(`  ${trialCount} trials`);
      const folder = join(root, String(trialCount));
      mkdirSync(folder);
      openWorkshop(folder, trialCount).close();
      return { folder, trialCount };
    });
    const subject: StandingsSubject = { tableId: TABLE, toolCount: TOOLS, trialCount: TRIALS, workshops };
    return inFreshProcesses('standings-process.ts', subject);
  });
}

function openWorkshop(folder: string, trialCount: number): WritableDatabase {
  const database = makeWorkshop(folder, { toolCount: TOOLS, trialCount });
  const createdAt = systemClock.now().toISOString();
  const { schemeId } = appendSchemeVersion(database, workshopScheme, {
    schemeId: 'scheme-of-all',
    operator: 'Demo operator',
    createdAt,
  });
  saveStandingsTable(
    database,
    {
      id: TABLE,
      name: 'All (demo)',
      schemeId,
      toolClasses: [],
      driveSizes: [],
      supplies: [],
      isSimulated: false,
      gate: 'goodAndLook',
      currency: 'EUR',
      isArchived: false,
    },
    createdAt,
  );
  return database;
}
