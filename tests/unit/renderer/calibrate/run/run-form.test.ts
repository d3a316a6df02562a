import { describe, expect, it } from 'vitest';
import {
  offerRemembered,
  offerSetup,
  readExercises,
  readRunForm,
  risingLevels,
  type RunForm,
  usualRunForm,
  withWay,
} from '../../../../../renderer/calibrate/run/run-form.ts';
import { runSetupSchema } from '../../../../../shared-lib/calibration/run-model.ts';
import { sampleStandards } from './sample-run.ts';

const usual = usualRunForm(sampleStandards, false);

function setupOf(form: RunForm, standards = sampleStandards) {
  const reading = readRunForm(form, standards);
  return 'value' in reading ? runSetupSchema.parse(reading.value) : reading.missing;
}

describe('setup of a run', () => {
  it('stands ready at its usual values once the lists are filled', () => {
    expect(setupOf(usual)).toMatchObject({
      way: 'weightsOnArm',
      series: 'full',
      senses: ['forward', 'reverse'],
      levels: [[{ id: 'A' }], [{ id: 'A' }, { id: 'B' }], [{ id: 'A' }, { id: 'B' }, { id: 'C' }]],
      arm: { id: 'arm' },
      shortArm: null,
      site: { id: 'site' },
      exercises: 3,
      dwellS: 30,
      benchTerms: {
        temperatureSpanK: null,
        spanPercentPerK: null,
        zeroPercentOfCapacityPerK: null,
        driftPercent: null,
      },
    });
  });

  it('takes copies of the standards, not their ids', () => {
    expect(setupOf(usual)).toHaveProperty(['levels', 0, 0], sampleStandards.weights[0]);
  });

  it('keeps the order of the senses', () => {
    expect(setupOf({ ...usual, senses: 'reverseFirst' })).toMatchObject({ senses: ['reverse', 'forward'] });
    expect(setupOf({ ...usual, senses: 'reverse' })).toMatchObject({ senses: ['reverse'] });
  });

  it('names what is missing in the order of the form', () => {
    expect(
      setupOf({ ...usual, levels: [['A'], []], armId: null, siteId: null, dwell: 'half a minute' }),
    ).toEqual(['a weight at level 2', 'the arm', 'the place', 'the dwell']);
    expect(setupOf({ ...usual, levels: [] })).toEqual(['a level']);
  });

  it('reads what the bench does with comma or point, and leaves unknown what was left empty', () => {
    expect(setupOf({ ...usual, temperatureSpan: '8,5', drift: '0.1 %' })).toMatchObject({
      benchTerms: { temperatureSpanK: 8.5, spanPercentPerK: null, driftPercent: 0.1 },
    });
    expect(setupOf({ ...usual, drift: 'some' })).toEqual(['the drift']);
  });

  it('takes whole exercises only', () => {
    expect(readExercises('2')).toMatchObject({ value: 2 });
    expect(readExercises('2.5')).toHaveProperty('problem');
    expect(readExercises('6')).toHaveProperty('problem');
  });

  it('adds one weight at each rising level', () => {
    expect(risingLevels([{ id: 'x' }, { id: 'y' }, { id: 'z' }])).toEqual([
      ['x'],
      ['x', 'y'],
      ['x', 'y', 'z'],
    ]);
  });
});

describe('way', () => {
  it('of one weight brings its series, one level and a shorter arm', () => {
    const form = withWay(usual, 'oneWeight');
    expect(setupOf(form)).toEqual(['the shorter arm']);
    expect(setupOf({ ...form, shortArmId: 'short' })).toMatchObject({
      series: 'twoArmLengths',
      levels: [[{ id: 'A' }]],
      shortArm: { id: 'short' },
    });
  });

  it('gives the full series back to the other ways', () => {
    expect(withWay(withWay(usual, 'oneWeight'), 'loadCell')).toMatchObject({
      way: 'loadCell',
      series: 'full',
    });
  });

  it('changes no series that goes with it', () => {
    expect(withWay({ ...usual, series: 'quick' }, 'loadCell')).toMatchObject({ series: 'quick' });
  });
});

describe('the last setup', () => {
  const filled = { ...usual, senses: 'reverseFirst', creep: true, drift: '0.1 %', dwell: '20 s' } as const;

  it('is offered as it was', () => {
    const setup = runSetupSchema.parse(setupOf(filled));
    const { form, lostNames } = offerSetup(setup, sampleStandards);
    expect(lostNames).toEqual([]);
    expect(setupOf(form)).toEqual(setup);
  });

  it('names what is on no list any more instead of leaving it out unsaid', () => {
    const setup = runSetupSchema.parse(setupOf(filled));
    const { form, lostNames } = offerSetup(setup, {
      ...sampleStandards,
      weights: sampleStandards.weights.slice(0, 1),
      sites: [],
    });
    expect(lostNames).toEqual(['10 kg B', '10 kg C', 'Workshop']);
    expect(form).toMatchObject({ levels: [['A'], ['A'], ['A']], siteId: null });
  });

  it('of this browser says how much of it is gone', () => {
    const { form, lostNames } = offerRemembered(usual, { ...sampleStandards, weights: [], arms: [] });
    expect(lostNames).toEqual(['3 weights', 'an arm']);
    expect(form.levels).toEqual([[], [], []]);
  });
});
