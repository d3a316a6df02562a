import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createComparisonParts } from '../../main/comparison/comparison-parts.ts';
import { createStandingsParts } from '../../main/standings/standings-parts.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { openDatabase } from '../../main/storage/open-database.ts';
import type { RequestResult } from '../../shared-lib/api-contract.ts';
import type { Standings } from '../../shared-lib/standings/standings-model.ts';
import { makeDemo } from '../../scripts/make-demo.ts';

/** The workshop is there to be looked at, so what it promises to show is held to it here. */
let parent = '';
let folder = '';
let database: WritableDatabase;

beforeAll(async () => {
  parent = mkdtempSync(join(tmpdir(), 'proofarm-test-'));
  folder = join(parent, 'demo');
  const { code, text } = await made('--data', folder);
  if (code !== 0) throw new Error(text);
  database = openDatabase({
    filePath: join(folder, 'proofarm.db'),
    backupFolder: join(folder, 'backups'),
    now: () => new Date('2026-02-20T09:00:00.000Z'),
    log: { info: () => undefined, warn: () => undefined },
  });
}, 60_000);

afterAll(() => {
  database.close();
  rmSync(parent, { recursive: true, force: true });
});

async function made(...options: string[]): Promise<{ code: number; text: string }> {
  let text = '';
  const output = { write: (written: string) => (text += written) };
  return { code: await makeDemo(options, { stdout: output, stderr: output }), text };
}

const tools = () => ({
  database,
  clock: { now: () => new Date('2026-04-03T09:00:00.000Z'), monotonicUs: () => 0 },
  softwareVersion: 'test',
  operator: () => 'Demo operator',
  emit: () => undefined,
});

async function compare(a: string, b: string, plannedS = 5): Promise<RequestResult<'compare'>> {
  const { handlers } = createComparisonParts({
    ...tools(),
    writer: {
      perform: () => Promise.reject(new Error('No trial of the workshop is measured anew')),
      close: () => Promise.resolve(),
    },
    qualityGate: () => 'goodAndLook',
    isTrialUnderWay: () => false,
  });
  return handlers.compare({
    step: { kind: 'tighten', direction: 'forward', plannedS },
    measure: { figure: 'sustainedTorque' },
    a: `setup:setup-demo-${a}`,
    b: `setup:setup-demo-${b}`,
    sessionIds: null,
    isForced: false,
  });
}

async function standings(tableId: string): Promise<Standings> {
  const parts = createStandingsParts(tools());
  try {
    return await parts.handlers.getStandings({ tableId });
  } finally {
    parts.close();
  }
}

describe('the demo workshop', () => {
  it.each([
    ['tarnwick-t6', 'hollin-h5', 5, 'aheadByMargin'],
    ['brindlow-b4', 'hollin-h5', 5, 'behindByMargin'],
    ['ostrel-o6', 'hollin-h5', 5, 'ahead'],
    ['hollin-h5', 'ostrel-o6', 5, 'behind'],
    ['quenby-q5', 'hollin-h5', 5, 'level'],
    ['pellmar-p7', 'tarnwick-t6', 5, 'tooCloseToCall'],
    ['hollin-h5', 'brindlow-b4', 15, 'needsMoreRuns'],
  ] as const)('says of %s against %s over %s s: %s', async (a, b, plannedS, verdict) => {
    const { result } = await compare(a, b, plannedS);
    expect(result?.verdict).toBe(verdict);
  });

  it('has a comparison that is provisional, and one that is refused', async () => {
    expect((await compare('tarnwick-t6', 'hollin-h5')).result?.isProvisional).toBe(true);
    expect((await compare('skarth-s4', 'brindlow-b4')).notComparable?.reasons.join(' ')).toMatch(
      /80\sSa\/s against 1000\sSa\/s/,
    );
  });

  it.each([
    ['Borrowed wrench', /No tool of the list is called/],
    ['Morrick M2', /voided/],
    ['Skarth S4', /not like for like: 80\sSa\/s/],
    ['Quenby Q5', /no rate to EUR is entered/],
    ['Veldrin V3', /Never tested/],
  ])('does not rank %s, and says why', async (name, because) => {
    const { notRanked, rows } = await standings('demo-table-half-inch');
    const one = notRanked.find(({ contender }) => contender.label.startsWith(name));
    expect(one?.because.join(' ')).toMatch(because);
    expect(rows.some(({ contender }) => contender.label.startsWith(name))).toBe(false);
  });

  it('ranks at least five by an all-round scheme, and leaves the larger drive to its own table', async () => {
    const halfInch = await standings('demo-table-half-inch');
    expect(halfInch.rows.length).toBeGreaterThanOrEqual(5);
    expect(halfInch.rows.some(({ contender }) => contender.toolName === 'Corvane C8')).toBe(false);
    const all = await standings('demo-table-all');
    expect(all.rows[0]?.contender.toolName).toBe('Corvane C8');
  });

  it('has faults, two calibrations, and everything marked as simulated', () => {
    const count = (sql: string): unknown => database.prepare(sql).pluck().get();
    expect(count('SELECT count(*) FROM trial_fault')).toBe(2);
    expect(count(`SELECT count(*) FROM trial WHERE state = 'interrupted'`)).toBe(1);
    expect(count('SELECT count(DISTINCT calibration_id) FROM trial')).toBe(2);
    expect(count('SELECT count(*) FROM trial WHERE is_simulated = 0')).toBe(0);
  });

  it('says what changed since its edition, and why', async () => {
    const parts = createStandingsParts(tools());
    const { editions } = await parts.handlers.listEditions({ tableId: 'demo-table-half-inch' });
    const fromEditionId = editions[0]?.id ?? '';
    const { changes } = await parts.handlers.compareEditions({ fromEditionId, toEditionId: null });
    parts.close();
    const reasons = (name: string): string =>
      changes
        .filter(({ label }) => label.startsWith(name))
        .flatMap(({ cells, because }) => [...cells.flatMap((cell) => cell.because), ...because])
        .join(' ');
    expect(reasons('Tarnwick T6')).toMatch(/219/);
    expect(reasons('Brindlow B4')).toMatch(/void/i);
  });
});

describe('the command that makes it', () => {
  it.runIf(process.platform !== 'win32')('makes the folder for its own user alone', () => {
    expect(statSync(folder).mode & 0o777).toBe(0o700);
  });

  it('says in a sentence that a folder cannot be made, and what to do', async () => {
    const file = join(parent, 'file');
    writeFileSync(file, 'in the way');
    const target = join(file, 'demo');
    const { code, text } = await made('--data', target);
    expect(code).toBe(1);
    expect(text).toContain(`The data folder ${target} cannot be used`);
    expect(text).toContain('choose another folder with --data');
    expect(readFileSync(file, 'utf8')).toBe('in the way');
  });

  it('leaves a folder alone that holds data already', async () => {
    const { code, text } = await made('--data', folder);
    expect(code).toBe(1);
    expect(text).toContain('Nothing was changed');
  });
});
