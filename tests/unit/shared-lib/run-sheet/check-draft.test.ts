import { describe, expect, it } from 'vitest';
import { checkDraft, checkPlan, MOST_PULLS } from '../../../../shared-lib/run-sheet/check-draft.ts';
import type { RunSheetDraft } from '../../../../shared-lib/run-sheet/run-sheet-model.ts';
import type { BenchItems } from '../../../../shared-lib/run-sheet/setup-as-tested.ts';
import type { Pack, Setup, Tool } from '../../../../shared-lib/run-sheet/setup-model.ts';
import { demoPlan, planStep } from './demo-setups.ts';

const tool = (id: string, change: Partial<Tool> = {}): Tool => ({
  id,
  name: `${id} (demo)`,
  supply: 'mains',
  declaredVibrationMps2: null,
  declaredNoiseDbA: null,
  isArchived: false,
  ...change,
});
const pack = (id: string, change: Partial<Pack> = {}): Pack => ({
  id,
  name: id,
  nominalV: 18,
  capacityAh: 5,
  isArchived: false,
  ...change,
});
const setup = (id: string, change: Partial<Setup> = {}): Setup => ({
  id,
  toolId: id,
  packId: null,
  setting: '',
  socket: null,
  isArchived: false,
  ...change,
});
/** Three mains tools and the setups of the same names: nothing speaks against them. */
const items = (change: Partial<BenchItems> = {}): BenchItems => ({
  tools: [tool('hollin'), tool('tarnwick'), tool('corvane')],
  packs: [pack('pack 1')],
  setups: [setup('hollin'), setup('tarnwick'), setup('corvane')],
  ...change,
});
const draft = (change: Partial<RunSheetDraft> = {}): RunSheetDraft => ({
  name: 'Demo sheet',
  plan: demoPlan({ rounds: 2, roundsToPublish: 2 }),
  setupIds: ['hollin', 'tarnwick'],
  referenceSetupId: null,
  order: 'rounds',
  seed: 1,
  ...change,
});
const found = (change: Partial<RunSheetDraft>, itemChange: Partial<BenchItems> = {}) =>
  checkDraft(draft(change), items(itemChange)).map(({ severity, code }) => `${severity} ${code}`);
const foundInPlan = (change: Parameters<typeof demoPlan>[0]) =>
  checkPlan(demoPlan(change)).map(({ severity, code }) => `${severity} ${code}`);
const withReference = { atStart: 3, perRound: 1, atEnd: 3 };

describe('a plan', () => {
  it('of whole rounds with rests has nothing against it', () => {
    expect(foundInPlan({})).toEqual([]);
  });

  it.each([
    [
      'a breakaway without its preload',
      { steps: [planStep({ kind: 'breakaway' })] },
      'caution preload-missing',
    ],
    ['a preload on another kind', { steps: [planStep({ preloadNm: 300 })] }, 'stop preload-elsewhere'],
    ['the same step twice', { steps: [planStep(), planStep({ restS: 0 })] }, 'caution step-twice'],
    [
      'endurance before another step',
      { steps: [planStep({ kind: 'endurance' }), planStep()] },
      'caution endurance-not-last',
    ],
    [
      'conditioning by an endurance step',
      { steps: [planStep({ kind: 'endurance' })], conditioningPulls: 1 },
      'caution endurance-first',
    ],
    [
      'reference pulls by a breakaway',
      { steps: [planStep({ kind: 'breakaway', preloadNm: 300 })], reference: withReference },
      'caution reference-breakaway',
    ],
    [
      'a reference that is never pulled',
      { reference: { atStart: 0, perRound: 0, atEnd: 0 } },
      'caution reference-never',
    ],
    [
      'a reference at one end only',
      { reference: { atStart: 3, perRound: 1, atEnd: 0 } },
      'note reference-one-end',
    ],
    ['fewer rounds than to publish', { rounds: 3, roundsToPublish: 5 }, 'note rounds-to-publish'],
    ['one round', { rounds: 1, roundsToPublish: 1 }, 'caution one-round'],
    ['repeats', { steps: [planStep({ repeats: 2 })] }, 'note repeats-in-a-row'],
  ])('with %s says so, and nothing else', (_, change, finding) => {
    expect(foundInPlan(change)).toEqual([finding]);
  });
});

describe('a draft', () => {
  it('of two tools in rounds has nothing against it', () => {
    expect(found({})).toEqual([]);
  });

  it.each([
    ['tool', { tools: [tool('hollin', { isArchived: true }), tool('tarnwick')] }, 'stop tool-archived'],
    ['setup', { setups: [setup('hollin', { isArchived: true }), setup('tarnwick')] }, 'stop setup-archived'],
    [
      'pack',
      {
        packs: [pack('pack 1', { isArchived: true })],
        setups: [setup('hollin', { packId: 'pack 1' }), setup('tarnwick')],
      },
      'stop pack-archived',
    ],
  ])('stops at a %s that was put away', (_, itemChange, finding) => {
    expect(found({}, itemChange)).toEqual([finding]);
    // And likewise where it is the reference.
    expect(
      found(
        { setupIds: ['tarnwick'], referenceSetupId: 'hollin', plan: demoPlan({ reference: withReference }) },
        itemChange,
      ),
    ).toContain(finding);
  });

  it('stops at a setup that is not known, and at one whose tool or pack is gone', () => {
    expect(found({ setupIds: ['hollin', 'gone'] })).toEqual(['stop setup-unknown']);
    expect(found({}, { tools: [tool('tarnwick')] })).toEqual(['stop setup-incomplete']);
    expect(
      found({}, { packs: [], setups: [setup('hollin', { packId: 'pack 1' }), setup('tarnwick')] }),
    ).toEqual(['stop setup-incomplete']);
  });

  it('stops at the same setup twice', () => {
    expect(found({ setupIds: ['hollin', 'tarnwick', 'hollin'], plan: demoPlan() })).toEqual([
      'stop setup-twice',
    ]);
  });

  it('names the tool that was put away and says what to do', () => {
    const [finding] = checkDraft(
      draft(),
      items({ tools: [tool('hollin', { isArchived: true }), tool('tarnwick')] }),
    );
    expect(finding?.sentence).toBe(
      'The tool of hollin (demo) was put away. Take the setup out of the list, or bring the tool back first.',
    );
  });

  it('notes a single setup, and rounds in which the places do not come out even', () => {
    expect(found({ setupIds: ['hollin'] })).toEqual(['note one-setup']);
    expect(found({ setupIds: ['hollin', 'tarnwick', 'corvane'] })).toEqual(['note rounds-not-even']);
  });

  it('cautions against blocks and the order of the list, for they do not keep drift out', () => {
    expect(found({ order: 'blocks' })).toEqual(['caution order-blocks']);
    expect(found({ order: 'asListed' })).toEqual(['caution order-as-listed']);
    expect(found({ order: 'asListed', setupIds: ['hollin'] })).toEqual(['note one-setup']);
  });

  it('asks for a reference tool where the plan pulls one, and for pulls where there is one', () => {
    const plan = demoPlan({ rounds: 2, reference: withReference });
    expect(found({ plan })).toEqual(['caution reference-not-chosen']);
    expect(found({ plan, referenceSetupId: 'corvane' })).toEqual([]);
    expect(found({ referenceSetupId: 'corvane' })).toEqual(['caution reference-not-pulled']);
    expect(found({ plan, referenceSetupId: 'hollin' })).toEqual(['caution reference-is-tested']);
  });

  it('cautions against battery tools without rest or without a pack, and a pack for two', () => {
    const battery = { tools: [tool('hollin', { supply: 'battery' as const }), tool('tarnwick')] };
    const own = { ...battery, setups: [setup('hollin', { packId: 'pack 1' }), setup('tarnwick')] };
    const plan = demoPlan({ rounds: 2, steps: [planStep({ restS: 0 })] });
    expect(found({}, own)).toEqual([]);
    expect(found({ plan }, own)).toEqual(['caution no-rest']);
    expect(found({ plan })).toEqual([]);
    expect(found({}, battery)).toEqual(['caution pack-missing']);
    expect(
      found({}, { setups: [setup('hollin', { packId: 'pack 1' }), setup('tarnwick', { packId: 'pack 1' })] }),
    ).toEqual(['caution pack-shared']);
  });

  it('notes that the pressure of an air tool is not asked for', () => {
    const air = { tools: [tool('hollin', { supply: 'air' as const }), tool('tarnwick')] };
    expect(found({}, air)).toEqual(['note pressure-not-asked']);
    expect(found({ plan: demoPlan({ rounds: 2, asks: ['airPressure'] }) }, air)).toEqual([]);
  });

  it('takes 400 pulls and not one more', () => {
    const plan = (repeats: number) =>
      demoPlan({ rounds: 20, roundsToPublish: 1, steps: [planStep({ repeats, plannedS: 0.5, restS: 0 })] });
    expect(found({ plan: plan(10) })).not.toContain('stop too-many-pulls');
    const over = checkDraft(draft({ plan: { ...plan(10), conditioningPulls: 1 } }), items());
    expect(over[0]).toMatchObject({ severity: 'stop', code: 'too-many-pulls' });
    expect(over[0]?.sentence).toContain('402 pulls');
    expect(MOST_PULLS).toBe(400);
  });

  it('cautions where the sheet is longer than a working day', () => {
    const plan = demoPlan({ rounds: 2, steps: [planStep({ plannedS: 3600, restS: 3600 })] });
    expect(found({ plan })).toEqual([]);
    const long = demoPlan({ rounds: 4, steps: [planStep({ plannedS: 3600, restS: 3600 })] });
    expect(found({ plan: long })).toEqual(['caution longer-than-a-day']);
  });

  it('puts stops first and notes last', () => {
    const severities = checkDraft(
      draft({ setupIds: ['gone'], order: 'blocks', plan: demoPlan({ rounds: 1, roundsToPublish: 5 }) }),
      items(),
    ).map(({ severity }) => severity);
    expect(severities).toEqual(['stop', 'caution', 'note', 'note']);
  });
});
