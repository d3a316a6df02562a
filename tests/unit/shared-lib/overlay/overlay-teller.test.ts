import { beforeEach, describe, expect, it } from 'vitest';
import type { BenchStatus, LiveCurve, TrialView } from '../../../../shared-lib/bench-status.ts';
import { type OverlayFrame, overlayFrameSchema } from '../../../../shared-lib/overlay/overlay-model.ts';
import { createOverlayTeller, type OverlayTeller } from '../../../../shared-lib/overlay/overlay-teller.ts';
import { demoFigures, demoLiveCurve, demoStep, readyStatus } from '../../../helpers/scripted-bench.ts';

const ONSET_SLOT = 10_000;
const onsetUs = ONSET_SLOT * 1000;
const step = demoStep;
const trialId = 'trial-1';

describe('what an audience is told of the bench', () => {
  let frames: OverlayFrame[];
  let teller: OverlayTeller;
  let heldBack: boolean;
  let nowUs: number;

  beforeEach(() => {
    frames = [];
    heldBack = false;
    nowUs = 0;
    teller = createOverlayTeller((frame) => frames.push(frame));
  });

  const status = (trial: TrialView, change: Partial<BenchStatus> = {}): void => {
    const told = { torqueUnit: 'Nm', isHeldBack: () => heldBack } as const;
    teller.takeStatus({ ...readyStatus, trial, ...change }, told, nowUs);
  };
  /** One slot is a millisecond; the piece is read when its last sample is there. */
  const feedUntil = (slot: number, change: Partial<LiveCurve> = {}): void => {
    for (let from = Math.round(nowUs / 1000); from < slot; from += 20) {
      nowUs = (from + 20) * 1000;
      const readAtUs = nowUs;
      teller.takeCurve({ ...demoLiveCurve(from, from + 20, ONSET_SLOT), readAtUs, ...change }, nowUs);
    }
  };
  const run = () => {
    const found = frames.findLast((frame) => frame.kind === 'run');
    if (found?.kind !== 'run') throw new Error('No run was told');
    return found;
  };
  const samples = () => frames.flatMap((frame) => (frame.kind === 'samples' ? [frame] : []));

  const pull = (): void => {
    nowUs = (ONSET_SLOT - 2000) * 1000;
    status({ phase: 'waiting', step });
    feedUntil(ONSET_SLOT + 160);
    status({ phase: 'run', step, trialId, onsetSlot: ONSET_SLOT });
    feedUntil(ONSET_SLOT + 5200);
    status({ phase: 'tail', step, trialId, onsetSlot: ONSET_SLOT });
    feedUntil(ONSET_SLOT + 6000);
  };

  it('is the run from half a second before its onset, without a gap, though the onset is known only later', () => {
    pull();
    const timeS = samples().flatMap((frame) => [...frame.timeS]);
    expect(timeS[0]).toBeGreaterThanOrEqual(-0.5);
    expect(timeS[0]).toBeLessThan(-0.49);
    const steps = timeS.slice(1).map((atS, index) => atS - (timeS[index] ?? 0));
    expect(Math.min(...steps)).toBeCloseTo(0.005, 9);
    expect(Math.max(...steps)).toBeCloseTo(0.005, 9);
    expect(timeS.at(-1)).toBeCloseTo(6, 1);
    expect(run()).toMatchObject({ runId: trialId, toolName: 'Hollin H5', plannedS: 5, isSimulated: true });
  });

  it('says of each piece when its last sample was read, and begins the run with its onset', () => {
    pull();
    for (const frame of samples()) {
      const lastS = frame.timeS.at(-1) ?? Number.NaN;
      // Its bin reaches half a bin beyond its middle.
      expect((frame.readAtUs - onsetUs) / 1e6 - lastS).toBeCloseTo(0.003, 3);
    }
    const begun = frames.find((frame) => frame.kind === 'run' && frame.phase === 'running');
    expect(begun).toMatchObject({ runId: trialId });
    if (begun?.kind === 'run') expect(Math.abs(begun.atUs - onsetUs)).toBeLessThan(2000);
  });

  it('holds back every figure until the trial is kept', () => {
    pull();
    expect(run().figures[0]?.label).toBe('torque now');
    const after: TrialView[] = [
      { phase: 'unloading', step, trialId, prompt: 'Unload.' },
      { phase: 'saving', step, trialId },
      { phase: 'reviewing', step, trialId, quality: { verdict: 'look', reasons: [] } },
    ];
    for (const trial of after) {
      status(trial);
      feedUntil(nowUs / 1000 + 400);
      expect(run().phase).toBe('over');
      expect(run().figures.map(({ text }) => text)).toEqual(['–']);
    }
    status({ phase: 'kept', step, trialId, isVoided: false, figures: demoFigures });
    expect(run().figures).toEqual([
      { label: 'sustained torque', text: '512\u202fN·m' },
      { label: 'to 400\u202fN·m', text: '1.56\u202fs' },
    ]);
  });

  it('holds the figures back as well while a blind rating of the tool is open', () => {
    pull();
    heldBack = true;
    const kept: TrialView = { phase: 'kept', step, trialId, isVoided: false, figures: demoFigures };
    status(kept);
    expect(run().figures).toEqual([{ label: 'shown after the rating', text: '–' }]);
    heldBack = false;
    status(kept);
    expect(run().figures[0]?.text).toContain('512');
  });

  it('shows no figure of a voided or an interrupted trial', () => {
    pull();
    status({ phase: 'kept', step, trialId, isVoided: true, figures: demoFigures });
    expect(run().figures).toEqual([{ label: 'voided, not counted', text: '–' }]);
    status({ phase: 'interrupted', step, trialId, reason: 'operator', sentence: 'Stopped.' });
    expect(run().figures).toEqual([{ label: 'interrupted, no result', text: '–' }]);
  });

  it('says so where a reading is not calibrated or beyond the calibration', () => {
    status({ phase: 'idle', lastProblem: null });
    feedUntil(200, { quantity: 'counts', latestMean: 123_456 });
    expect(run().figures).toEqual([{ label: 'counts, not calibrated', text: '123\u202f456' }]);
    feedUntil(500, { isOutsideCalibratedRange: true, latestMean: 900 });
    expect(run().figures).toEqual([{ label: 'outside the calibrated range', text: '900\u202fN·m' }]);
    status({ phase: 'idle', lastProblem: null }, { amplifier: { ...readyStatus.amplifier, link: 'silent' } });
    expect(run().figures).toEqual([]);
  });

  it('changes the figure of the moment ten times a second at most, so that it can be read', () => {
    status({ phase: 'idle', lastProblem: null });
    feedUntil(2000);
    expect(frames.filter(({ kind }) => kind === 'run').length).toBeLessThanOrEqual(22);
  });

  it('greets a page that comes late with the whole run so far', () => {
    pull();
    const told = samples().flatMap((frame) => [...frame.maxNm]);
    const [first, second] = teller.greeting(nowUs);
    expect(first).toMatchObject({ kind: 'run', runId: trialId, phase: 'running' });
    expect(second?.kind === 'samples' ? [...second.maxNm] : null).toEqual(told);
    for (const frame of [...frames, ...teller.greeting(nowUs)]) {
      expect(overlayFrameSchema.safeParse(frame).success).toBe(true);
    }
  });

  it('begins the next run empty', () => {
    pull();
    status({ phase: 'kept', step, trialId, isVoided: false, figures: demoFigures });
    status({ phase: 'countdown', step, secondsLeft: 3 });
    expect(run()).toMatchObject({ phase: 'ready', figures: [{ label: 'starts in', text: '3' }] });
    expect(run().runId).not.toBe(trialId);
    expect(teller.greeting(nowUs).map(({ kind }) => kind)).toEqual(['run']);
  });

  it('forgets what lay before another zero or calibration', () => {
    nowUs = (ONSET_SLOT - 2000) * 1000;
    status({ phase: 'waiting', step });
    feedUntil(ONSET_SLOT - 200);
    feedUntil(ONSET_SLOT + 160, { generation: 2 });
    status({ phase: 'run', step, trialId, onsetSlot: ONSET_SLOT });
    expect(samples()[0]?.timeS[0]).toBeCloseTo(-0.2, 1);
  });
});
