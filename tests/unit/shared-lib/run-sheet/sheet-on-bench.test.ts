import { describe, expect, it } from 'vitest';
import type {
  ConfirmedSetup,
  RunSheet,
  RunSheetEntry,
} from '../../../../shared-lib/run-sheet/run-sheet-model.ts';
import { sheetOnBenchSchema } from '../../../../shared-lib/run-sheet/run-sheet-model.ts';
import type { Preparation } from '../../../../shared-lib/run-sheet/setup-model.ts';
import {
  asksFor,
  sheetOnBench,
  type SheetOnBenchInput,
} from '../../../../shared-lib/run-sheet/sheet-on-bench.ts';
import { brindlow, demoPlan, demoSetup, hollin, tarnwick } from './demo-setups.ts';

const preparation: Preparation = {
  packRestedV: 20.4,
  packTemperatureC: null,
  toolTemperatureC: null,
  fastener: 'M24 bolt',
  fastenerPullsSinceNew: 7,
  lubricant: null,
  inletPressureKpa: null,
  hoseBoreMm: null,
  isCarriedOver: true,
};
const NOW_MS = 1_800_000_000_000;
const entry = (id: string, change: Partial<RunSheetEntry> = {}): RunSheetEntry => ({
  id,
  setup: hollin,
  step: { toolName: 'Hollin H5', kind: 'tighten', direction: 'forward', plannedS: 5 },
  role: 'counted',
  round: 1,
  repeat: 1,
  restS: 90,
  state: 'open',
  skipReason: null,
  trialIds: [],
  ...change,
});
const sheet = (entries: RunSheetEntry[], asks: RunSheet['plan']['asks'] = []): RunSheet => ({
  id: 'sheet',
  name: 'Demo sheet',
  createdAt: '2026-11-20T08:00:00.000Z',
  operator: 'demo operator',
  plan: demoPlan({ asks, rounds: 3, roundsToPublish: 5 }),
  order: 'rounds',
  seed: 1,
  referenceSetupId: null,
  closedAt: null,
  entries,
});
const confirmed = (change: Partial<ConfirmedSetup> = {}): ConfirmedSetup => ({
  setupId: hollin.setupId,
  round: 1,
  sessionId: 'today',
  preparation,
  at: '2026-11-20T08:00:00.000Z',
  ...change,
});
const onBench = (change: Partial<SheetOnBenchInput> = {}) =>
  sheetOnBench({
    sheet: sheet([entry('a'), entry('b')]),
    confirmed: confirmed(),
    sessionId: 'today',
    prefilled: preparation,
    lastPull: () => null,
    nowMs: NOW_MS,
    isoOf: (unixMs) => new Date(unixMs).toISOString(),
    ...change,
  });

describe('the run sheet on the bench', () => {
  it('stands at the first open entry, with the next five after it, and counts counted pulls only', () => {
    const entries = [
      entry('conditioning', { role: 'conditioning', state: 'done' }),
      entry('done', { state: 'done' }),
      entry('skipped', { state: 'skipped', skipReason: 'socket broken' }),
      entry('reference', { role: 'reference' }),
      ...['b', 'c', 'd', 'e', 'f', 'g'].map((id) => entry(id)),
    ];
    const view = onBench({ sheet: sheet(entries) });
    expect(view.current?.id).toBe('reference');
    expect(view.following.map(({ id }) => id)).toEqual(['b', 'c', 'd', 'e', 'f']);
    expect(view).toMatchObject({
      doneCount: 1,
      skippedCount: 1,
      totalCount: 8,
      rounds: 3,
      roundsToPublish: 5,
    });
    expect(sheetOnBenchSchema.parse(view)).toEqual(view);
  });

  it('has nothing current when everything is done or skipped, and asks for no setup then', () => {
    const view = onBench({
      sheet: sheet([entry('a', { state: 'done' }), entry('b', { state: 'skipped', skipReason: 'no time' })]),
      confirmed: null,
    });
    expect(view).toMatchObject({
      current: null,
      following: [],
      isSetupInHand: true,
      asks: [],
      restUntil: null,
    });
    expect(sheetOnBenchSchema.parse(view)).toEqual(view);
  });
});

describe('the setup in hand', () => {
  it('is the one confirmed last, in this session', () => {
    expect(onBench().isSetupInHand).toBe(true);
    expect(onBench({ confirmed: null }).isSetupInHand).toBe(false);
    expect(onBench({ confirmed: confirmed({ setupId: tarnwick.setupId }) }).isSetupInHand).toBe(false);
    expect(onBench({ confirmed: confirmed({ sessionId: 'yesterday' }) }).isSetupInHand).toBe(false);
    expect(onBench({ sessionId: null }).isSetupInHand).toBe(false);
  });

  it('stays in hand into the next round, unless something is asked for', () => {
    const entries = [entry('a', { round: 2 })];
    expect(onBench({ sheet: sheet(entries) }).isSetupInHand).toBe(true);
    expect(onBench({ sheet: sheet(entries, ['packVolts']) }).isSetupInHand).toBe(false);
    // Of a tool without a pack nothing is left to ask.
    const mains = [entry('a', { round: 2, setup: tarnwick })];
    expect(
      onBench({
        sheet: sheet(mains, ['packVolts']),
        confirmed: confirmed({ setupId: tarnwick.setupId }),
      }).isSetupInHand,
    ).toBe(true);
  });

  it('is asked only for what it can have', () => {
    const all = [
      'packVolts',
      'packTemperature',
      'toolTemperature',
      'fastener',
      'lubricant',
      'airPressure',
    ] as const;
    expect(asksFor(all, hollin)).toEqual([
      'packVolts',
      'packTemperature',
      'toolTemperature',
      'fastener',
      'lubricant',
    ]);
    expect(asksFor(all, brindlow)).toEqual(['toolTemperature', 'fastener', 'lubricant', 'airPressure']);
    expect(asksFor(all, demoSetup('Corvane C8', { supply: 'mains' }))).toEqual([
      'toolTemperature',
      'fastener',
      'lubricant',
    ]);
  });
});

describe('the rest', () => {
  const endedBefore = (seconds: number, restS = 90) => ({
    lastPull: () => ({ endedMs: NOW_MS - 1000 * seconds, restS }),
  });

  it('is what the last pull with the same setup leaves of it', () => {
    expect(onBench(endedBefore(30))).toMatchObject({
      restLeftS: 60,
      restUntil: new Date(NOW_MS + 60_000).toISOString(),
    });
    expect(onBench(endedBefore(90))).toMatchObject({ restLeftS: null, restUntil: null });
    expect(onBench(endedBefore(5000))).toMatchObject({ restLeftS: null, restUntil: null });
  });

  it('is over where the setup has not pulled in this session', () => {
    expect(onBench()).toMatchObject({ restLeftS: null, restUntil: null });
  });

  it('counts for the setup of the current entry, not for another', () => {
    const pulls = new Map([[tarnwick.setupId, { endedMs: NOW_MS, restS: 90 }]]);
    expect(onBench({ lastPull: (setupId) => pulls.get(setupId) ?? null }).restLeftS).toBeNull();
  });

  it('never is longer than planned, whatever the clock does', () => {
    expect(onBench(endedBefore(-7200)).restLeftS).toBe(90);
    expect(onBench(endedBefore(0, 0)).restLeftS).toBeNull();
  });

  it('is that of the last pull, though the sheet planned another one before this entry', () => {
    const planned = { sheet: sheet([entry('a', { restS: 0 })]) };
    expect(onBench({ ...planned, ...endedBefore(5, 300) }).restLeftS).toBe(295);
  });
});
