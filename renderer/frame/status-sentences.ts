import { assertNever } from '../../shared-lib/assert-never.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { formatRate, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import { checkWords } from '../calibrate/overview-sentences.ts';
import { trialsLeftWords } from '../../shared-lib/calibration/words/calibration-sentences.ts';
import type { LinkState } from '../api-client/link-state.ts';
import { faultWords } from '../faults/fault-words.ts';
import { compareRate, hasOnlyUnreadableLines } from '../setup/amplifier-facts.ts';
import type { StateShapeName } from '../ui/StateShape.tsx';
import { formatDay } from '../ui/date-time.ts';
import type { PageAddress } from './places.ts';

/** One part of the status line: what it is about, how it stands, and the place where it is put right. */
export interface StatusPart {
  readonly key: 'amplifier' | 'calibration' | 'zero' | 'session' | 'disk' | 'fault';
  readonly name: string;
  readonly state: string;
  readonly shape: StateShapeName | null;
  readonly address: PageAddress;
}

/** What is wrong, whole: what happened, what it means for the data, what to do. */
export interface StatusAlarm {
  readonly sentence: string;
  /** Null: nothing in this window puts it right. */
  readonly address: PageAddress | null;
}

/** From here on the trials that a calibration still holds for are counted down in the line (ours). */
const FEW_TRIALS_LEFT = 50;

/** `nowMs` is wall clock, for the age of the zero. */
export function describeStatusParts(status: BenchStatus, nowMs: number): StatusPart[] {
  return [
    describeAmplifier(status),
    describeCalibration(status),
    {
      key: 'zero',
      name: 'Zero',
      state:
        status.zero === null ? 'none' : describeAge(nowMs - Date.parse(status.zero.takenAt), 'just taken'),
      shape: status.zero === null ? 'off' : null,
      address: '/bench',
    },
    { key: 'session', name: 'Session', state: describeSession(status), shape: null, address: '/logbook' },
    {
      key: 'disk',
      name: 'Disk',
      state: describeDisk(status),
      shape: status.storage.state === 'failing' ? 'fault' : null,
      address: '/setup',
    },
    ...describeLastFault(status, nowMs),
  ];
}

/** What must never be taken for a real bench; null: nothing. */
export function sourceMark(source: BenchStatus['amplifier']['source']): string | null {
  switch (source) {
    case 'simulated':
      return 'Simulated';
    case 'replayed':
      return 'Replayed capture';
    case 'serial':
    case 'none':
      return null;
    default:
      return assertNever(source, 'This source has no mark');
  }
}

/** The sentence of a fault goes by; that there was one does not. */
function describeLastFault({ recentFaults }: BenchStatus, nowMs: number): StatusPart[] {
  const [newest] = recentFaults;
  if (newest === undefined) return [];
  return [
    {
      key: 'fault',
      name: 'Last fault',
      state: `${faultWords[newest.kind].toLowerCase()}, ${describeAge(nowMs - Date.parse(newest.at), 'just now')}`,
      shape: null,
      address: '/setup',
    },
  ];
}

export function describeStatusAlarm(status: BenchStatus | null, linkState: LinkState): StatusAlarm | null {
  if (linkState === 'lost') {
    return {
      sentence: 'The program is not reached. What is stored is safe. If it has ended, start it again.',
      address: null,
    };
  }
  if (linkState === 'refused') {
    return {
      sentence:
        'This page belongs to an earlier start of the program, or its address was used before. Use the window or address of this start.',
      address: null,
    };
  }
  if (status === null) return null;
  if (status.storage.state === 'failing') {
    const sentence = status.storage.sentence ?? 'Samples cannot be written; what was stored before is safe.';
    return { sentence, address: '/setup' };
  }
  const { problem } = status.amplifier;
  return problem === null
    ? describeCalibrationAlarm(status)
    : { sentence: problem.sentence, address: '/setup' };
}

/** Which calibration, until when it holds, and how the daily check stands. */
function describeCalibration({ calibration }: BenchStatus): StatusPart {
  const part = { key: 'calibration', name: 'Calibration', address: '/calibrate' } as const;
  if (calibration === null) return { ...part, state: 'none: counts only', shape: 'caution' };
  const { label, validUntil, trialsLeft, isExpired, check } = calibration;
  const limits = isExpired
    ? check.state === 'failed'
      ? []
      : ['its time is over']
    : [
        ...(validUntil === null ? [] : [`until ${formatDay(validUntil)}`]),
        ...(trialsLeft === null || trialsLeft > FEW_TRIALS_LEFT ? [] : [trialsLeftWords(trialsLeft)]),
      ];
  const state = [label, ...limits, checkWords[check.state]].join(', ');
  if (check.state === 'failed') return { ...part, state, shape: 'fault', address: '/calibrate/check' };
  if (isExpired) return { ...part, state, shape: 'fault' };
  return check.state === 'due'
    ? { ...part, state, shape: 'caution', address: '/calibrate/check' }
    : { ...part, state, shape: check.state === 'passed' ? 'good' : null };
}

/** A bench that may read wrong must not be overlooked; what it means for the trials stands on the page of the check. */
function describeCalibrationAlarm({ calibration }: BenchStatus): StatusAlarm | null {
  if (calibration === null) return null;
  if (calibration.check.state === 'failed') {
    const { sentence, suspectCount } = calibration.check;
    const trials = suspectCount === 1 ? '1 trial is' : `${suspectCount} trials are`;
    return {
      sentence: suspectCount === 0 ? sentence : `${sentence} ${trials} suspect until somebody decides.`,
      address: '/calibrate/check',
    };
  }
  if (!calibration.isExpired) return null;
  return {
    sentence: `The time of the calibration “${calibration.label}” is over. What is stored is safe; what is measured now rests on an old calibration. Calibrate anew.`,
    address: '/calibrate',
  };
}

function describeAmplifier({ amplifier }: BenchStatus): StatusPart {
  const part = { key: 'amplifier', name: 'Amplifier', address: '/setup' } as const;
  switch (amplifier.link) {
    case 'connected': {
      const rate =
        amplifier.measuredRateHz === null
          ? 'connected'
          : `connected, ${formatRate(amplifier.measuredRateHz, amplifier.measuredRateHz < 200 ? 1 : 0)}`;
      return compareRate(amplifier)?.isOff === true
        ? { ...part, state: `${rate}, not as set`, shape: 'caution' }
        : { ...part, state: rate, shape: 'live' };
    }
    case 'disconnected':
      return { ...part, state: 'not connected', shape: 'off' };
    case 'connecting':
      return { ...part, state: 'connecting', shape: 'off' };
    case 'silent':
      return {
        ...part,
        state: hasOnlyUnreadableLines(amplifier) ? 'lines not understood' : 'silent',
        shape: 'fault',
      };
    case 'reconnecting':
      return { ...part, state: 'lost, reconnecting', shape: 'fault' };
    case 'failed':
      return { ...part, state: 'failed', shape: 'fault' };
  }
}

function describeSession({ session }: BenchStatus): string {
  if (session === null) return 'no trial yet';
  return `${session.keptCount}${THIN_SPACE}kept, ${session.voidedCount}${THIN_SPACE}voided`;
}

function describeDisk({ storage: { freeBytes, hoursLeft } }: BenchStatus): string {
  if (hoursLeft === null) return `${(freeBytes / 1e9).toFixed(freeBytes < 1e10 ? 1 : 0)}${THIN_SPACE}GB free`;
  if (hoursLeft >= 1000) return `over 1000${THIN_SPACE}h left`;
  return hoursLeft >= 10
    ? `${Math.floor(hoursLeft)}${THIN_SPACE}h left`
    : `${Math.floor(hoursLeft * 60)}${THIN_SPACE}min left`;
}

function describeAge(ageMs: number, now: string): string {
  const minutes = Math.floor(ageMs / 60_000);
  if (minutes < 1) return now;
  if (minutes < 120) return `${minutes}${THIN_SPACE}min ago`;
  return `${Math.floor(minutes / 60)}${THIN_SPACE}h ago`;
}
