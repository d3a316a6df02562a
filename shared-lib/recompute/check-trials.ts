import { compareValues } from './compare-values.ts';
import type { PackageTables } from './read-tables.ts';
import { standingAsOf, type StoredTrial } from './stored-trials.ts';
import type { TableRow } from './table-row.ts';
import type { Tally } from './tally.ts';

/**
 * What stands of a trial in more than one place: its state and what was decided, its ids and the copies of what they name, its place
 * in a run sheet and the entry of the sheet, the order of what happened.
 */
export function checkTrials(tables: PackageTables, trials: readonly StoredTrial[], tally: Tally): void {
  const sessions = byId(tables.rows('session'));
  const entries = byId(tables.rows('run_sheet_entry'));
  for (const trial of trials) {
    const { row, conditions } = trial;
    const { place } = conditions;
    const session = sessions.get(trial.sessionId);
    const entry = place === null ? undefined : entries.get(place.entryId);
    const standing = standingAsOf(trial, null);
    const said = {
      state: row.text('state'),
      isVoided: row.flag('is_voided'),
      transducerId: row.text('transducer_id'),
      transducerOfSession: session?.text('transducer_id'),
      isSimulated: trial.isSimulated,
      runSheetId: row.textOrNull('run_sheet_id'),
      entryId: row.textOrNull('entry_id'),
      placeInSheet: place && { round: place.round, repeat: place.repeat, role: place.role },
      onsetLevelNm: trial.conditions.onsetLevelNm,
    };
    compareValues(tally, 'states and names of trials', { where: `trial ${trial.id}` }, said, {
      ...standing,
      transducerId: conditions.transducer.id,
      transducerOfSession: session && conditions.transducer.id,
      isSimulated: conditions.transducer.isSimulated,
      runSheetId: place?.runSheetId ?? null,
      entryId: place?.entryId ?? null,
      placeInSheet:
        entry === undefined
          ? said.placeInSheet
          : { round: entry.number('round'), repeat: entry.number('repeat'), role: entry.text('role') },
      onsetLevelNm: levelOfSession(tables, trial) ?? trial.conditions.onsetLevelNm,
    });
    checkOrder(trial, session, tally);
  }
}

/** Fixed at the first arming of each step, for all trials of the session. */
function levelOfSession(tables: PackageTables, { sessionId, step }: StoredTrial): number | null {
  const level = (tables.by('session_step_level', 'session_id').get(sessionId) ?? []).find(
    (row) => row.text('kind') === step.kind && row.text('direction') === step.direction,
  );
  return level === undefined ? null : level.number('onset_level_nm');
}

function byId(rows: readonly TableRow[]): ReadonlyMap<string, TableRow> {
  return new Map(rows.map((row) => [row.text('id'), row]));
}

/** Nothing is computed or decided about a trial before it began, and none begins outside of its session. */
function checkOrder(trial: StoredTrial, session: TableRow | undefined, tally: Tally): void {
  const { startedAt, evaluations, decisions, assignments } = trial;
  const began = session?.text('started_at') ?? '';
  const ended = session?.textOrNull('ended_at') ?? '9999';
  if (startedAt < began || startedAt > ended) {
    tally.differ(
      'states and names of trials',
      `trial ${trial.id}, started at`,
      `It began at ${startedAt}, and its session lasted from ${began} to ${ended === '9999' ? 'an end that is not noted' : ended}.`,
    );
  } else tally.agree('states and names of trials');
  for (const [what, rows] of [
    ['an evaluation', evaluations],
    ['a decision', decisions],
    ['an assignment', assignments],
  ] as const) {
    const early = rows.find(({ at }) => at < startedAt);
    const isInOrder = rows.every(({ at }, index) => index === 0 || at >= (rows[index - 1]?.at ?? ''));
    if (early === undefined && isInOrder) {
      tally.agree('states and names of trials');
      continue;
    }
    tally.differ(
      'states and names of trials',
      `trial ${trial.id}`,
      early === undefined
        ? `What is numbered later is dated earlier, of ${what}.`
        : `It began at ${startedAt}, and ${what} of it is dated ${early.at}.`,
    );
  }
}
