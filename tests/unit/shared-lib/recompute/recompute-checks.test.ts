import { describe, expect, it } from 'vitest';
import type { DailyCheck } from '../../../../shared-lib/calibration/daily-check-model.ts';
import { type CheckReading, readCheck } from '../../../../shared-lib/calibration/read-check.ts';
import type { PackageTables } from '../../../../shared-lib/recompute/read-tables.ts';
import { recomputeChecks } from '../../../../shared-lib/recompute/recompute-checks.ts';
import { readTable } from '../../../../shared-lib/recompute/table-row.ts';
import { createTally } from '../../../../shared-lib/recompute/tally.ts';
import { writeCsv } from '../../../../shared-lib/tables/write-csv.ts';
import { demoMeans, demoVersion } from '../../../helpers/scripted-calibration.ts';

/** To 300 N m: the demo means weigh 392 N m, and a shunt of 40 000 counts reads 492 N m. */
const version = {
  ...demoVersion,
  forward: { gainNmPerCount: 0.0123, validToNm: 300, curve: null },
};

/** Checks as they were stored, oldest first. */
function storeAll(
  taken: readonly (Pick<CheckReading, 'means' | 'readingCounts'> & { readonly reason?: string })[],
): DailyCheck[] {
  const checks: DailyCheck[] = [];
  for (const { means, readingCounts, reason } of taken) {
    const id = checks.length + 1;
    const read = readCheck({
      means,
      zeroCounts: 0,
      readingCounts,
      calibration: version,
      result: null,
      earlier: checks.toReversed(),
      today: '2026-03-31',
      newReferenceReason: reason ?? null,
    });
    checks.push({
      id,
      transducerId: version.transducerId,
      calibrationId: version.id,
      at: `2026-03-31T08:0${id}:00.000Z`,
      operator: 'Demo operator',
      means,
      zeroCounts: 0,
      readingCounts,
      ...read,
    });
  }
  return checks;
}

function findingsOf(checks: readonly DailyCheck[]): string[] {
  const columns = {
    id: (check: DailyCheck) => String(check.id),
    transducer_id: (check: DailyCheck) => check.transducerId,
    calibration_id: (check: DailyCheck) => check.calibrationId,
    at: (check: DailyCheck) => check.at,
    operator: (check: DailyCheck) => check.operator,
    means_json: (check: DailyCheck) => JSON.stringify(check.means),
    zero_counts: (check: DailyCheck) => String(check.zeroCounts),
    reading_counts: (check: DailyCheck) => String(check.readingCounts),
    reference_nm: (check: DailyCheck) => String(check.referenceNm),
    reading_nm: (check: DailyCheck) => String(check.readingNm),
    error_nm: (check: DailyCheck) => String(check.errorNm),
    limit_nm: (check: DailyCheck) => (check.limitNm === null ? null : String(check.limitNm)),
    verdict: (check: DailyCheck) => check.verdict,
    reasons_json: (check: DailyCheck) => JSON.stringify(check.reasons),
  };
  const rows = checks.map((check) => Object.values(columns).map((cellOf) => cellOf(check)));
  const csv = writeCsv([Object.keys(columns), ...rows], {
    separator: ',',
    decimal: '.',
    guardsFormulas: false,
  });
  const tables: PackageTables = {
    names: ['daily_check'],
    rows: () => readTable(csv, 'data/daily_check.csv'),
    by: () => new Map(),
  };
  const tally = createTally();
  const stored = { version, result: null };
  recomputeChecks(tables, { all: () => [stored], get: () => stored }, tally);
  const { findings, agreeing } = tally.result();
  expect(agreeing).toBeGreaterThan(0);
  return findings.map(({ what }) => what);
}

const shunt = { kind: 'shunt' } as const;

describe('daily checks of a package, computed again', () => {
  it('agree where a shunt was given a new reference with a reason', () => {
    const checks = storeAll([
      { means: shunt, readingCounts: 5 },
      { means: shunt, readingCounts: 20_000 },
      { means: shunt, readingCounts: 20_000, reason: 'The shunt was not on (demo).' },
      { means: shunt, readingCounts: 20_010 },
    ]);
    expect(checks.map(({ verdict }) => verdict)).toEqual(['reference', 'failed', 'reference', 'passed']);
    expect(findingsOf(checks)).toEqual([]);
    // Without its reason it would have been judged by the first one, and failed.
    const silent = checks.map((check) => (check.id === 3 ? { ...check, reasons: [] } : check));
    expect(findingsOf(silent)).not.toEqual([]);
  });

  it('agree where an earlier version of the program made no remark on a load beyond the calibrated range, and say so', () => {
    const checks = storeAll([
      { means: demoMeans, readingCounts: 392.3 / 0.0123 },
      { means: shunt, readingCounts: 40_000 },
    ]);
    const remarks = checks.flatMap(({ reasons }) => reasons.filter(({ rule }) => rule === 'outside-range'));
    expect(remarks).toHaveLength(2);
    expect(findingsOf(checks)).toEqual([]);
    const before = checks.map((check) => ({
      ...check,
      reasons: check.reasons.filter(({ rule }) => rule !== 'outside-range'),
    }));
    const note =
      'It makes no remark that it lies beyond the calibrated range. Earlier versions of the program made none; one that was taken out since would look the same.';
    expect(findingsOf(before)).toEqual([note, note]);
  });
});
