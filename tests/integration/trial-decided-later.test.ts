import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { trailOf } from '../../shared-lib/trial/words/trail.ts';
import { makeDataFolder, type RunningServices, startRealServices } from '../helpers/running-services.ts';
import { leaveTrialsUndecided, type UndecidedTrials } from '../helpers/undecided-trials.ts';

const folder = makeDataFolder();
let left: UndecidedTrials;
let restarted: RunningServices;

beforeAll(async () => {
  left = await leaveTrialsUndecided(folder.path);
  restarted = await startRealServices(folder.path);
});

afterAll(async () => {
  await restarted.close();
  folder.remove();
});

describe('a trial that waited for its decision when the program was closed', () => {
  it('has the reasons that the Bench showed, and no figure', async () => {
    const { trialId, shownQuality } = left.endedEarly;
    expect(shownQuality.reasons.map(({ code }) => code)).toEqual(['earlyStop']);
    const record = await restarted.handlers.getTrial({ trialId });
    expect(record.summary).toMatchObject({ state: 'reviewing', sustainedTorqueNm: null });
    expect(record.undecidedQuality).toEqual(shownQuality);
    expect(record).toMatchObject({ figures: null, evaluations: [] });
  });

  it('has none where it was cut short, since nothing was measured yet', async () => {
    const record = await restarted.handlers.getTrial({ trialId: left.cutOffId });
    expect(record).toMatchObject({
      summary: { state: 'interrupted' },
      figures: null,
      undecidedQuality: null,
    });
  });

  it('is kept with what ended it, which its trail tells', async () => {
    const { trialId, shownQuality } = left.endedEarly;
    await restarted.handlers.keepTrial({ trialId, stopCause: 'hot' });
    const record = await restarted.handlers.getTrial({ trialId });
    expect(record.decisions).toMatchObject([{ decision: 'kept', stopCause: 'hot', figuresShown: false }]);
    expect(record.figures?.quality).toEqual(shownQuality);
    expect(record.undecidedQuality).toBeNull();
    const trail = trailOf(record, { formatTorque: String, calibrationLabel: () => null });
    expect(trail.map(({ sentence }) => sentence).join(' ')).toContain('It ended early: “It cut out hot”.');
  });
});
