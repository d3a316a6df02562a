import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type {
  CheckMeans,
  ControlChart,
  DailyCheck,
  Ringing,
} from '../../shared-lib/calibration/daily-check-model.ts';
import type { Standards, Weight } from '../../shared-lib/calibration/standards-model.ts';

/** Ready-made calibrations, standards and checks for tests of the window; all invented (demo). */
export function demoWeight(letter: string): Weight {
  return {
    id: `weight-${letter}`,
    name: `20 kg ${letter} (demo)`,
    massKg: 20,
    densityKgM3: 7850,
    tolerance: { kind: 'class', weightClass: 'M1' },
    certificate: `demo ${letter}-17`,
    certificateValidUntil: '2027-05-31',
  };
}

export const demoStandards: Standards = {
  weights: ['A', 'B', 'C', 'D'].map(demoWeight),
  arms: [
    {
      id: 'arm-long',
      name: 'Long arm (demo)',
      lengthM: 1,
      lengthUncertaintyM: { kind: 'limit', limit: 0.0002 },
      angleDeg: 0,
      angleLimitDeg: 1,
      own: null,
    },
  ],
  sites: [
    {
      id: 'site-1',
      name: 'Workshop (demo)',
      gravity: { source: 'location', latitudeDeg: 50, heightM: 100 },
      gravityUncertaintyMps2: null,
      air: { source: 'standard' },
    },
  ],
};

const [demoArm] = demoStandards.arms;
const [demoSite] = demoStandards.sites;
if (demoArm === undefined || demoSite === undefined) throw new Error('The demo standards are not whole.');

export const demoMeans: Extract<CheckMeans, { kind: 'weight' }> = {
  kind: 'weight',
  sense: 'forward',
  weights: [demoWeight('A'), demoWeight('B')],
  arm: demoArm,
  site: demoSite,
};

export const demoVersion: CalibrationVersion = {
  id: 'demo-calibration',
  transducerId: 'demo-transducer',
  amplifierId: null,
  label: 'Weights in spring (demo)',
  method: 'weightsOnArm',
  runId: 'demo-run',
  validUntil: '2026-04-10',
  validForTrials: 500,
  forward: { gainNmPerCount: 0.0123, validToNm: 784, curve: null },
  reverse: { gainNmPerCount: 0.0124, validToNm: 784, curve: null },
  enteredUncertaintyPercent: null,
  input: null,
  operator: 'Demo operator',
  note: '',
  createdAt: '2026-01-10T08:00:00.000Z',
  supersededAt: null,
  supersedeReason: null,
};

export const demoEnteredVersion: CalibrationVersion = {
  ...demoVersion,
  id: 'demo-entered',
  label: 'From the certificate (demo)',
  method: 'direct',
  runId: null,
  validUntil: null,
  validForTrials: null,
  enteredUncertaintyPercent: 0.5,
  input: {
    method: 'direct',
    zeroCounts: 1200,
    forward: { torqueNm: 1000, counts: 82_500 },
    reverse: null,
  },
  reverse: null,
  createdAt: '2025-11-02T08:00:00.000Z',
  supersededAt: '2026-01-10T08:00:00.000Z',
  supersedeReason: 'Calibrated with weights.',
};

/** `errorNm` of a load of 392.3 N m, where 1.1 N m may be. */
export function demoCheck(id: number, errorNm: number, change: Partial<DailyCheck> = {}): DailyCheck {
  const isFailed = Math.abs(errorNm) > 1.1;
  return {
    id,
    transducerId: 'demo-transducer',
    calibrationId: 'demo-calibration',
    at: new Date(Date.UTC(2026, 0, 10 + id, 7, 30)).toISOString(),
    operator: 'Demo operator',
    means: demoMeans,
    zeroCounts: 1234,
    readingCounts: 33_000,
    referenceNm: 392.3,
    readingNm: 392.3 + errorNm,
    errorNm,
    limitNm: 1.1,
    verdict: isFailed ? 'failed' : 'passed',
    reasons: [
      {
        rule: 'joint uncertainty',
        isBroken: isFailed,
        sentence: `The error may be 1.1 N·m, the joint expanded uncertainty of calibration (0.9 N·m) and check (0.6 N·m); it is ${errorNm.toFixed(2)} N·m.`,
      },
    ],
    ...change,
  };
}

/** Newest first; the last of them failed. */
export function demoChecks(count: number): DailyCheck[] {
  return Array.from({ length: count }, (_, index) =>
    demoCheck(index + 1, index === count - 1 ? 2.4 : 0.3 + 0.4 * Math.sin(index * 2.1) + 0.01 * index),
  ).toReversed();
}

export function demoCharts(checks: readonly DailyCheck[]): ControlChart[] {
  const errors = checks.toReversed().map((check) => (100 * check.errorNm) / check.referenceNm);
  let weighted = 0.08;
  return [
    {
      kind: 'individuals',
      unit: 'percent',
      centre: 0.08,
      points: errors.map((value, index) => ({
        checkId: index + 1,
        at: checks[checks.length - 1 - index]?.at ?? '',
        value,
        lower: -0.2,
        upper: 0.36,
        isOutside: value > 0.36,
      })),
    },
    {
      kind: 'ewma',
      unit: 'percent',
      centre: 0.08,
      points: errors.map((error, index) => {
        weighted = 0.2 * error + 0.8 * weighted;
        const half = 0.09 * Math.sqrt(1 - 0.8 ** (2 * (index + 1)));
        return {
          checkId: index + 1,
          at: checks[checks.length - 1 - index]?.at ?? '',
          value: weighted,
          lower: 0.08 - half,
          upper: 0.08 + half,
          isOutside: Math.abs(weighted - 0.08) > half,
        };
      }),
    },
  ];
}

export const demoRinging: Ringing = {
  id: 1,
  transducerId: 'demo-transducer',
  at: '2026-01-12T09:00:00.000Z',
  operator: 'Demo operator',
  sampleRateHz: 1000,
  frequencyHz: 82,
  dampingRatio: 0.06,
  decayS: 0.032,
  sentences: [
    'Of one swing the sample rate sees 12 samples: blows up to about 82 Hz are resolved, shorter ones are not.',
    'The anti-alias bandwidth of the amplifier is not known, so it is not said what it leaves out.',
  ],
  refusedMeasures: ['The height of a single blow', 'The time of a single blow'],
  timeS: Array.from({ length: 400 }, (_, index) => (index - 20) / 1000),
  torqueNm: Array.from({ length: 400 }, (_, index) => {
    const time = (index - 20) / 1000;
    return time < 0 ? 0 : 24 * Math.exp(-time / 0.032) * Math.sin(2 * Math.PI * 82 * time);
  }),
};
