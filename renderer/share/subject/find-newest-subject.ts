import type { Connection } from '../../../shared-lib/api-contract.ts';
import { AppError } from '../../../shared-lib/app-error.ts';
import type { Subject } from '../../../shared-lib/publishing/publishing-model.ts';
import { choosePair, type CompleteChoice } from '../../compare/choose-pair.ts';
import { readChoice } from '../../compare/compare-address.ts';
import { comparedRequest } from '../../compare/compared-request.ts';

/** So many pairs are tried for one that can be compared. */
const MOST_PAIRS = 5;

/** The newest that is worth showing: two against each other, else a trial, else a calibration with its readings; null: nothing. */
export async function findNewestSubject(connection: Connection): Promise<Subject | null> {
  return (
    (await newestComparison(connection)) ??
    (await newestTrial(connection)) ??
    (await newestCalibration(connection))
  );
}

async function newestComparison(connection: Connection): Promise<Subject | null> {
  const listed = await connection.request('listContenders', {});
  const chosen = choosePair(listed, readChoice(new URLSearchParams()));
  if (chosen.state !== 'pair') return null;
  const pairs = chosen.candidates.length === 0 ? [chosen.choice] : chosen.candidates.slice(0, MOST_PAIRS);
  for (const pair of pairs) {
    const subject = comparisonSubject(pair);
    if (await hasChart(connection, subject)) return subject;
  }
  return null;
}

async function newestTrial(connection: Connection): Promise<Subject | null> {
  const { trials } = await connection.request('listTrials', {
    search: '',
    state: 'kept',
    sort: 'newest',
    offset: 0,
    limit: 1,
  });
  const [newest] = trials;
  return newest === undefined ? null : { kind: 'trial', trialId: newest.id };
}

async function newestCalibration(connection: Connection): Promise<Subject | null> {
  const { calibrations } = await connection.request('listCalibrations', {});
  for (const { id, runId } of calibrations) {
    const subject = { kind: 'calibration', calibrationId: id } as const;
    if (runId !== null && (await hasChart(connection, subject))) return subject;
  }
  return null;
}

/** What is refused here is no reason to show nothing: something else may be worth it. */
async function hasChart(connection: Connection, subject: Subject): Promise<boolean> {
  try {
    return (await connection.request('describeSubject', { subject })).charts.length > 0;
  } catch (refusal) {
    if (refusal instanceof AppError && refusal.code !== 'connection-lost') return false;
    throw refusal;
  }
}

export function comparisonSubject(choice: CompleteChoice): Subject {
  return { kind: 'comparison', asked: comparedRequest(choice) };
}
