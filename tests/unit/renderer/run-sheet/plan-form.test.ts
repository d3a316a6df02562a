import { describe, expect, it } from 'vitest';
import { type Plan, planSchema } from '../../../../shared-lib/run-sheet/plan-model.ts';
import { runSheetDraftSchema } from '../../../../shared-lib/run-sheet/run-sheet-model.ts';
import { draftOf, newDraftForm, withPlan } from '../../../../renderer/run-sheet/draft-form.ts';
import { emptyStep, planForm, readPlanForm } from '../../../../renderer/run-sheet/plans/plan-form.ts';
import { planWords } from '../../../../renderer/run-sheet/plans/plan-sentences.ts';
import { durationWords, entryStateWords } from '../../../../renderer/run-sheet/run-sheet-sentences.ts';

const plan: Plan = {
  id: 'plan-1',
  name: 'Own plan',
  steps: [
    { kind: 'tighten', direction: 'forward', plannedS: 5, preloadNm: null, repeats: 1, restS: 90 },
    { kind: 'breakaway', direction: 'reverse', plannedS: 2.5, preloadNm: 400, repeats: 2, restS: 60 },
  ],
  conditioningPulls: 1,
  rounds: 3,
  roundsToPublish: 5,
  reference: { atStart: 3, perRound: 1, atEnd: 3 },
  asks: ['packVolts', 'fastener'],
};
const plainSpaces = (text: string): string => text.replaceAll(/\s/g, ' ');
let nextKey = 0;
const form = planForm(plan, () => `key-${(nextKey += 1)}`);

describe('the form of a plan', () => {
  it('gives back the plan that it was made from', () => {
    expect(readPlanForm(form, 'plan-1')).toEqual({ value: plan });
    expect(planSchema.parse(plan)).toEqual(plan);
  });

  it('names the step whose time, rest or preload cannot be taken', () => {
    const [first, second] = form.steps;
    if (!first || !second) throw new Error('The plan has two steps');
    const changed = {
      ...form,
      steps: [
        { ...first, plannedTime: '0 s', rest: '-5 s' },
        { ...second, preload: '' },
      ],
    };
    expect(readPlanForm(changed, 'plan-1')).toEqual({
      missing: ['the time of step 1', 'the rest of step 1', 'the preload of step 2'],
    });
  });

  it('needs a step and leaves the reference out where none is wanted', () => {
    expect(readPlanForm({ ...form, steps: [] }, 'plan-1')).toEqual({ missing: ['a step'] });
    const reading = readPlanForm({ ...form, hasReference: false, steps: [emptyStep('a')] }, 'plan-1');
    expect('value' in reading && reading.value.reference).toBeNull();
  });

  it('says in a line what a plan is', () => {
    expect(plainSpaces(planWords(plan))).toBe(
      'forward 5 s, 2 × break away reverse 2.5 s; 3 rounds; 1 conditioning pull; with a reference tool',
    );
  });
});

describe('the draft of a run sheet', () => {
  const draft = newDraftForm(plan, '2026-03-04', 7);

  it('names what it still needs', () => {
    expect(draftOf({ ...draft, rounds: '0', name: ' ' })).toEqual({
      missing: ['a setup', 'the rounds', 'the name'],
    });
  });

  it('takes the rounds that were typed instead of the plan’s', () => {
    const reading = draftOf({ ...draft, setupIds: ['b', 'a'], referenceSetupId: 'a', rounds: '4' });
    if (!('value' in reading)) throw new Error(reading.missing.join());
    expect(reading.value.plan.rounds).toBe(4);
    expect(reading.value.setupIds).toEqual(['b', 'a']);
    expect(runSheetDraftSchema.parse(reading.value)).toEqual(reading.value);
  });

  it('follows another plan with its name and rounds, but keeps a name that was typed', () => {
    const other = { ...plan, name: 'Short', rounds: 1, reference: null };
    expect(withPlan(draft, other, '2026-03-04')).toMatchObject({ name: 'Short, 2026-03-04', rounds: '1' });
    const named = { ...draft, name: 'Spring', isNameSuggested: false, referenceSetupId: 'a' };
    expect(withPlan(named, other, '2026-03-04')).toMatchObject({ name: 'Spring', referenceSetupId: null });
  });
});

describe('how long and how far', () => {
  it.each([
    [42, '42 s'],
    [600, '10 min'],
    [3600, '1 h'],
    [7530, '2 h 6 min'],
  ])('says %d s as %s', (durationS, words) => {
    expect(plainSpaces(durationWords(durationS))).toBe(words);
  });

  it('tells an entry that was tried from one that was not', () => {
    const entry = {
      id: 'entry-1',
      setup: {
        setupId: 's',
        toolId: 't',
        toolName: 'Hollin H5 (demo)',
        supply: 'battery',
        declaredVibrationMps2: null,
        declaredNoiseDbA: null,
        packId: null,
        packName: null,
        packCapacityAh: null,
        setting: '',
        socket: null,
      },
      step: { toolName: 'Hollin H5 (demo)', kind: 'tighten', direction: 'forward', plannedS: 5 },
      role: 'counted',
      round: 1,
      repeat: 1,
      restS: 0,
      state: 'open',
      skipReason: null,
      trialIds: [],
    } as const;
    expect(entryStateWords({ ...entry, trialIds: [] })).toBe('open');
    expect(entryStateWords({ ...entry, trialIds: ['a', 'b'] })).toBe('open, 2 attempts not kept');
    expect(entryStateWords({ ...entry, state: 'done', trialIds: ['a', 'b'] })).toBe('pulled, attempt 2');
    expect(entryStateWords({ ...entry, state: 'skipped', skipReason: 'Pack empty', trialIds: [] })).toBe(
      'skipped: Pack empty',
    );
  });
});
