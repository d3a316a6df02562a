import { describe, expect, it } from 'vitest';
import {
  benchKey,
  chooseBench,
  describeBench,
  whyNotAlike,
} from '../../../../shared-lib/comparison/like-for-like.ts';
import type { StoredScore } from '../../../../main/storage/scored-trials.ts';

let count = 0;
function score(
  changes: Partial<Omit<StoredScore, 'bench'>> & { bench?: Partial<StoredScore['bench']> } = {},
): StoredScore {
  count += 1;
  const { bench, ...others } = changes;
  return {
    trialId: `trial-${count}`,
    key: 'setup:one',
    toolNameFolded: 'hollin h5',
    sessionId: 'session-1',
    startedAt: new Date(Date.UTC(2026, 3, 1, 8, count)).toISOString(),
    step: { kind: 'tighten', direction: 'forward', plannedS: 5 },
    preloadNm: null,
    isSimulated: false,
    state: 'kept',
    isVoided: false,
    verdict: 'good',
    suspicion: null,
    role: null,
    round: null,
    runSheetId: null,
    evaluationId: 1,
    calibrationId: 'calibration-1',
    onsetLevelNm: 15,
    bench: {
      transducerId: 'transducer-1',
      rigRevision: '',
      nominalRateHz: 1000,
      antiAliasBandwidthHz: null,
      windowS: 0.101,
      definitionVersion: 2,
      ...bench,
    },
    scores: {
      sustained_nm: 300,
      final_nm: null,
      torque_at_1_nm: null,
      torque_at_2_nm: null,
      torque_at_3_nm: null,
      torque_at_5_nm: null,
      torque_at_10_nm: null,
      torque_at_15_nm: null,
      time_to_90_s: null,
      time_to_level_json: '[]',
      stall_nm: null,
      released_preload_nm: null,
      last_nm: null,
    },
    ...others,
  };
}

const nameOf = (id: string): string => `Demo ${id}`;

describe('what has to be alike', () => {
  it.each<[string, Parameters<typeof score>[0], string]>([
    [
      'transducer',
      { bench: { transducerId: 'transducer-2' } },
      'Demo transducer-1 against Demo transducer-2',
    ],
    ['rig', { bench: { rigRevision: 'B' } }, 'a rig without a revision against rig “B”'],
    ['rate', { bench: { nominalRateHz: 80 } }, '1000\u202fSa/s against 80\u202fSa/s'],
    ['filter', { bench: { antiAliasBandwidthHz: 250 } }, 'no filter known against a filter of 250 Hz'],
    [
      'window',
      { bench: { windowS: 9 / 80 } },
      'measured over 101\u202fms against measured over 112.5\u202fms',
    ],
    [
      'definition of the measures',
      { bench: { definitionVersion: 1 } },
      'measures of definition 2 against measures of definition 1',
    ],
    ['world', { isSimulated: true }, 'real pulls against simulated ones'],
  ])('is the %s', (_, changes, why) => {
    expect(benchKey(score())).not.toBe(benchKey(score(changes)));
    expect(whyNotAlike(score(), score(changes), nameOf)).toEqual([why]);
  });

  it('is the preload of a breakaway, and of nothing else', () => {
    const breakaway = { kind: 'breakaway', direction: 'reverse', plannedS: 5 } as const;
    const [a, b] = [300, 400].map((preloadNm) => score({ step: breakaway, preloadNm }));
    if (a === undefined || b === undefined) throw new Error('There are two');
    expect(whyNotAlike(a, b, nameOf)).toEqual([
      'a preload of 300\u202fN·m (221\u202fft·lbf) against a preload of 400\u202fN·m (295\u202fft·lbf)',
    ]);
    expect(benchKey(a)).not.toBe(benchKey(b));
    expect(benchKey(score({ preloadNm: 1 }))).toBe(benchKey(score({ preloadNm: 2 })));
  });

  it('is neither session, calibration, quality nor onset level', () => {
    const other = score({ sessionId: 'session-2', calibrationId: 'c-2', verdict: 'look', onsetLevelNm: 20 });
    expect(benchKey(score())).toBe(benchKey(other));
    expect(whyNotAlike(score(), other, nameOf)).toEqual([]);
  });

  it('is not the definition where it measures alike and judges the quality otherwise', () => {
    const [earlier, later] = [score(), score({ key: 'setup:two', bench: { definitionVersion: 3 } })];
    expect(benchKey(earlier)).toBe(benchKey(later));
    expect(whyNotAlike(earlier, later, nameOf)).toEqual([]);
    expect(describeBench(later, 'Demo 1')).toBe(describeBench(earlier, 'Demo 1'));
    expect([...chooseBench([earlier, later], nameOf).leftOut]).toEqual([]);
  });

  it('is every definition by rules of before, as it was said then', () => {
    const apart = { isByDefinition: true } as const;
    const earlier = score({ bench: apart });
    const later = score({ bench: { definitionVersion: 3, ...apart } });
    expect(benchKey(earlier)).not.toBe(benchKey(later));
    expect(whyNotAlike(earlier, later, nameOf)).toEqual(['definition 2 against definition 3']);
    expect(describeBench(later, 'Demo 1')).toMatch(/, definition 3$/);
  });

  it('is said in words', () => {
    expect(describeBench(score({ bench: { rigRevision: 'B', antiAliasBandwidthHz: 250 } }), 'Demo 1')).toBe(
      'Demo 1, rig “B”, 1000\u202fSa/s, a filter of 250 Hz, measured over 101\u202fms, measures of definition 2',
    );
  });
});

describe('the bench of many contenders', () => {
  it('is the one that most of them have, however many trials another one has', () => {
    const slow = { bench: { nominalRateHz: 80 } };
    const many = [score(slow), score(slow), score(slow), score(slow)];
    const two = [score({ key: 'setup:two' }), score({ key: 'setup:three' })];
    const chosen = chooseBench([...many, ...two], nameOf);
    expect(chosen.key).toBe(benchKey(score()));
    expect([...chosen.leftOut]).toEqual(
      many.map(({ trialId }) => [trialId, 'not like for like: 80\u202fSa/s against 1000\u202fSa/s']),
    );
  });

  it('is a real one before a simulated one, then the one with the newest trial', () => {
    const [old, simulated] = [score(), score({ isSimulated: true })];
    expect(chooseBench([old, simulated]).example).toBe(old);
    const newer = score({ bench: { nominalRateHz: 80 } });
    expect(chooseBench([old, newer, simulated]).example).toBe(newer);
  });

  it('is none without trials', () => {
    expect(chooseBench([])).toEqual({ key: null, example: null, leftOut: new Map() });
  });
});
