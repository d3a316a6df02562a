import type { Suspicion } from '../trial/suspicion.ts';
import { inOrderOfIds, type PackageTables } from './read-tables.ts';
import type { TableRow } from './table-row.ts';

/** What decides whether a trial is suspect: what it was made with or is read by, and when. */
export interface TrialInTime {
  readonly id: string;
  readonly calibrationId: string;
  readonly startedAt: string;
}

export interface SuspectWindows {
  /** As it stood at an instant; null: as it stands. */
  suspicionOf(trial: TrialInTime, asOf: string | null): Suspicion | null;
  /** Whether the last check before a trial had failed and none had passed up to it. */
  isUnderFailedCheck(calibrationId: string, startedAt: string): boolean;
}

interface Check {
  readonly id: number;
  readonly at: string;
  readonly verdict: string;
  readonly shows: string;
}

interface SuspectWindow {
  readonly checkId: number;
  readonly failedAt: string;
  readonly since: string;
  readonly until: string;
}

const meansSchema = {
  parse(value: unknown): { readonly kind: unknown; readonly sense: unknown } {
    const means = typeof value === 'object' && value !== null ? value : {};
    return { kind: 'kind' in means ? means.kind : null, sense: 'sense' in means ? means.sense : null };
  },
};

/**
 * Which trials a failed daily check casts doubt on: those from the last pass before it, or the calibration, to the next pass that
 * would have shown the failure, a weight in the same sense, or for the shunt any.
 */
export function readSuspectWindows(tables: PackageTables): SuspectWindows {
  const checksOf = Map.groupBy(inOrderOfIds(tables.rows('daily_check')), (row) => row.text('calibration_id'));
  const decisions = tables.by('suspicion_decision', 'trial_id');
  const held = new Map<string, readonly SuspectWindow[]>();
  const windowsOf = (calibrationId: string, asOf: string | null): readonly SuspectWindow[] => {
    const place = `${calibrationId} ${asOf ?? ''}`;
    const known = held.get(place);
    if (known !== undefined) return known;
    const checks = (checksOf.get(calibrationId) ?? [])
      .map(toCheck)
      .filter(({ at }) => asOf === null || at <= asOf);
    const windows = checks
      .filter(({ verdict }) => verdict === 'failed')
      .map((failed) => windowOf(failed, checks));
    held.set(place, windows);
    return windows;
  };
  return {
    suspicionOf({ id, calibrationId, startedAt }, asOf) {
      const mark = windowsOf(calibrationId, asOf).findLast(
        ({ since, until }) => startedAt > since && startedAt < until,
      );
      if (mark === undefined) return null;
      const newest = (decisions.get(id) ?? [])
        .filter((row) => asOf === null || row.text('at') <= asOf)
        .at(-1);
      const decision = newest === undefined ? null : decisionOf(newest);
      const isInForce =
        newest !== undefined && (newest.number('check_id') === mark.checkId || decision === 'excluded');
      return {
        checkId: mark.checkId,
        failedAt: mark.failedAt,
        decision: isInForce ? decision : null,
        reason: isInForce ? newest.text('reason') : null,
      };
    },
    isUnderFailedCheck: (calibrationId, startedAt) =>
      windowsOf(calibrationId, null).some(({ failedAt, until }) => failedAt < startedAt && until > startedAt),
  };
}

function decisionOf(row: TableRow): Suspicion['decision'] {
  const decision = row.text('decision');
  return decision === 'usable' || decision === 'excluded' ? decision : null;
}

function toCheck(row: TableRow): Check {
  const { kind, sense } = row.json('means_json', meansSchema);
  return {
    id: row.number('id'),
    at: row.text('at'),
    verdict: row.text('verdict'),
    shows: kind === 'shunt' ? 'shunt' : String(sense),
  };
}

function windowOf(failed: Check, checks: readonly Check[]): SuspectWindow {
  const passed = checks
    .filter(
      ({ verdict, shows }) => verdict === 'passed' && (shows === failed.shows || failed.shows === 'shunt'),
    )
    .map(({ id, at }) => ({ isBefore: id < failed.id, at }));
  const before = passed.filter(({ isBefore }) => isBefore).map(({ at }) => at);
  const after = passed.filter(({ isBefore }) => !isBefore).map(({ at }) => at);
  return {
    checkId: failed.id,
    failedAt: failed.at,
    since: before.toSorted().at(-1) ?? '',
    until: after.toSorted()[0] ?? '9999',
  };
}
