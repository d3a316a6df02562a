import { distributionFunctions } from '../../shared-lib/calibration/distribution-functions.ts';
import { createSeededRandom } from '../../shared-lib/simulation/seeded-random.ts';
import { drawPlaceRanges } from '../../shared-lib/standings/place-draws.ts';
import { doAtOnce } from '../../shared-lib/work-in-pieces.ts';
import { systemClock } from '../../main/platform/clock.ts';
import { createTableReader, type TableState } from '../../main/standings/read-table.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { listTrials, type TrialListQuery } from '../../main/storage/trial-list.ts';
import { selectSummaries } from '../../main/storage/trial-summary.ts';
import { open } from '../../tests/integration/storage-support/bench-fixture.ts';
import type { Figure } from '../measured-figures.ts';
import { measureInTurn, type RoundsInTurn } from './cpu-rounds.ts';
import { reportFigures } from './report-figures.ts';
import type { StandingsSubject } from './standings-figures.ts';
import { medianOf, medianRatioOf, roundTo, roundToDigits, spreadOf } from './statistics.ts';

const ROUNDS = 3;
const DRAWS = 10_000;
const WORDS = ['slip', '19'];
const MOST_STANDINGS_MS = 100;
const MOST_PAGE_MS = 50;
const MOST_DRAWS_MS = 1000;

interface SizeTimes {
  readonly trialCount: number;
  readonly firstStandingsMs: number;
  readonly standings: RoundsInTurn;
  readonly page: RoundsInTurn;
  readonly search: RoundsInTurn;
  readonly draws: RoundsInTurn;
}

/** What must not grow faster than the trials. */
const grown = ['standings', 'page', 'search', 'draws'] as const;

async function standingsFigures(subject: StandingsSubject): Promise<Record<string, Figure>> {
  const times: SizeTimes[] = [];
  for (const { folder, trialCount } of subject.workshops) {
    const database = open(folder);
    times.push(await timesOf(database, subject, trialCount));
    database.close();
  }
  return figuresOf(times, subject);
}

async function timeDraws(state: TableState, toolCount: number): Promise<RoundsInTurn> {
  return measureInTurn(
    () => {
      drawPlaces(state);
    },
    () => {
      drawNumbersOnly(toolCount);
    },
    ROUNDS,
  );
}

async function timesOf(
  database: WritableDatabase,
  { tableId, toolCount }: StandingsSubject,
  trialCount: number,
): Promise<SizeTimes> {
  const reader = createTableReader({ database, clock: systemClock });
  const before = process.cpuUsage();
  reader.stateOf(tableId);
  const { user, system } = process.cpuUsage(before);
  const { standings } = reader.stateOf(tableId);
  if (standings.rows.length !== toolCount) {
    throw new Error(
      `${standings.rows.length} of ${toolCount} tools are ranked: this would measure something else`,
    );
  }
  const page = { limit: 100, offset: Math.floor(trialCount / 2) };
  const firstPage = { limit: 100, offset: 0 };
  return {
    trialCount,
    firstStandingsMs: (user + system) / 1000,
    standings: await measureInTurn(
      () => reader.stateOf(tableId),
      () => bareScores(database),
      ROUNDS,
    ),
    page: await measureInTurn(
      () => listTrials(database, { ...everything, ...page }),
      () => bareRows(database, [], page),
      ROUNDS,
    ),
    search: await measureInTurn(
      () => listTrials(database, { ...everything, search: WORDS.join(' '), ...firstPage }),
      () => bareRows(database, WORDS, firstPage),
      ROUNDS,
    ),
    draws: await timeDraws(reader.stateOf(tableId), toolCount),
  };
}

const everything: Omit<TrialListQuery, 'limit' | 'offset'> = {
  search: '',
  state: null,
  kind: null,
  direction: null,
  verdict: null,
  sessionId: null,
};

/** The rows and columns that the standings are computed from, and nothing done with them. */
function bareScores(database: WritableDatabase): unknown {
  return database
    .prepare(
      `SELECT trial_id, session_id, started_at, shown_tool_name_folded, shown_setup_id, state, is_voided, newest_verdict, role,
         evaluation_id, group_id, onset_level_nm, sustained_nm, torque_at_1_nm, time_to_level_json
       FROM (SELECT id, session_id, started_at, shown_tool_name_folded, shown_setup_id, state, is_voided, newest_verdict,
           role FROM trial INDEXED BY trial_by_start) AS listed
         JOIN trial_score AS score ON score.trial_id = listed.id
       ORDER BY started_at, listed.id`,
    )
    .all();
}

/** The rows and columns that a page of the Logbook is made of, with the count of all, and nothing done with them. */
function bareRows(
  database: WritableDatabase,
  words: readonly string[],
  { limit, offset }: Pick<TrialListQuery, 'limit' | 'offset'>,
): unknown {
  const where =
    words.length === 0 ? '' : `WHERE ${words.map(() => 'instr(search_text, ?) > 0').join(' AND ')}`;
  const count = database.prepare(`SELECT count(*) FROM trial ${where}`).get(...words);
  const rows = database
    .prepare(
      `${selectSummaries} WHERE id IN (SELECT id FROM trial ${where} ORDER BY started_at DESC, id DESC LIMIT ? OFFSET ?)`,
    )
    .all(...words, limit, offset);
  return { count, rows };
}

function drawPlaces({ input, standings }: TableState): void {
  const work = drawPlaceRanges(input, standings, { seed: 1, drawCount: DRAWS }, distributionFunctions);
  const { ranges } = doAtOnce(work);
  if (ranges.length !== standings.rows.length)
    throw new Error(`Only ${ranges.length} of ${standings.rows.length} tools have a range`);
}

/** A normal number for each draw, tool and measure. */
function drawNumbersOnly(toolCount: number): void {
  const random = createSeededRandom(1, 1);
  let sum = 0;
  for (let index = 0; index < DRAWS * toolCount * 4; index += 1) sum += random.gaussian();
  if (Number.isNaN(sum)) throw new Error('There is no sum');
}

/** Value, baseline and spread of a figure that is a median of rounds; met where the median is within the limit. */
function figureOfRounds(
  { ownMs, bareMs }: RoundsInTurn,
  limit: number,
): Pick<Figure, 'value' | 'baseline' | 'limit' | 'met' | 'ratio' | 'spread'> {
  const value = medianOf(ownMs);
  return {
    value: roundToDigits(value),
    baseline: roundToDigits(medianOf(bareMs)),
    limit,
    met: value <= limit,
    ratio: roundToDigits(medianRatioOf(ownMs, bareMs)),
    spread: spreadOf(ownMs, 2),
  };
}

function figuresOf(times: readonly SizeTimes[], subject: StandingsSubject): Record<string, Figure> {
  const of = times.find(({ trialCount }) => trialCount === subject.trialCount);
  const [smallest, largest] = [times[0], times.at(-1)];
  if (of === undefined || smallest === undefined || largest === undefined)
    throw new Error('Nothing was measured');
  const trialsGrew = largest.trialCount / smallest.trialCount;
  const growthOf = (column: (typeof grown)[number], side: keyof RoundsInTurn): number =>
    medianOf(largest[column][side]) / medianOf(smallest[column][side]) / trialsGrew;
  const growths = grown.map((name) => ({
    name,
    // Of the growth of the trials: 1 is in proportion.
    share: growthOf(name, 'ownMs'),
    sentence: `${name} ${times.map((one) => `${roundToDigits(medianOf(one[name].ownMs))} ms`).join(', ')}`,
  }));
  const worst = growths.reduce((one, other) => (other.share > one.share ? other : one));
  return {
    'P4.standings': {
      ...figureOfRounds(of.standings, MOST_STANDINGS_MS),
      unit: 'ms of processor time, 200 tools and 10 000 trials',
      note: `Median of ${ROUNDS} rounds; the very first one of a process took ${roundTo(of.firstStandingsMs, 0)} ms. Six terms over four measures of two steps, mass and price, from the database to the ranked table. Baseline: the same rows and columns by SQL, and nothing done with them.`,
    },
    'P4.draws': {
      ...figureOfRounds(of.draws, MOST_DRAWS_MS),
      unit: 'ms of processor time for 10 000 draws of 200 tools',
      note: `Median of ${ROUNDS}, from the gathered input to the ranges. Baseline: a normal number for each draw, tool and measure, and nothing done with it.`,
    },
    'P4.page': {
      ...figureOfRounds(of.page, MOST_PAGE_MS),
      unit: 'ms of processor time, 100 rows in the middle of 10 000 trials, counted',
      note: 'Baseline: the same rows and columns and the count by SQL, and nothing done with them.',
    },
    'P4.search': {
      ...figureOfRounds(of.search, MOST_PAGE_MS),
      unit: 'ms of processor time, two words among 10 000 trials, a fifth of them with a note',
      note: 'The first page of 100 with the count of all. Baseline: the same rows and columns and the count by SQL, and nothing done with them.',
    },
    'P4.growth': {
      value: roundToDigits(worst.share),
      unit: `x in proportion to the trials, from ${smallest.trialCount} to ${largest.trialCount}`,
      baseline: roundToDigits(growthOf(worst.name, 'bareMs')),
      limit: 1,
      met: worst.share <= 1,
      note: `The worst of four is ${worst.name}; at ${times.map(({ trialCount }) => trialCount).join(', ')} trials: ${growths.map(({ sentence }) => sentence).join('; ')}. Baseline: how the bare one of the same grows.`,
    },
  };
}

await reportFigures(standingsFigures);
