import { readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { readyMadeProfiles, type AmplifierProfile } from '../shared-lib/amplifier/amplifier-profile.ts';
import { readProfileFile } from '../shared-lib/amplifier/profile-file.ts';
import { AppError } from '../shared-lib/app-error.ts';
import type { SenderClockOptions } from '../shared-lib/simulation/sender-clock.ts';
import type { Misbehaviour } from '../shared-lib/simulation/simulated-bench.ts';
import {
  isSimulatedToolName,
  simulatedToolNames,
  type SimulatedToolName,
} from '../shared-lib/simulation/simulated-tool.ts';

interface KnownMisbehaviour {
  readonly name: string;
  readonly key: string;
  /** For the list of keys. */
  readonly short: string;
  readonly says: string;
  readonly what: Misbehaviour;
}

/** What the amplifier can be told to do wrong, by a key or at a set time. */
export const knownMisbehaviours = [
  { name: 'gap', key: 'g', short: 'lose lines', says: '5 lines lost', what: { kind: 'gap', count: 5 } },
  {
    name: 'garbage',
    key: 'x',
    short: 'garbage',
    says: 'garbage for 0.2 s',
    what: { kind: 'garbage', durationS: 0.2 },
  },
  {
    name: 'silence',
    key: 's',
    short: 'silence',
    says: 'silence for 2 s',
    what: { kind: 'silence', durationS: 2 },
  },
  {
    name: 'bad-checksum',
    key: 'c',
    short: 'bad checksums',
    says: '3 bad checksums',
    what: { kind: 'badChecksum', count: 3 },
  },
  {
    name: 'rail',
    key: 't',
    short: 'top rail',
    says: 'at the rail for 0.2 s',
    what: { kind: 'rail', durationS: 0.2 },
  },
  {
    name: 'stuck',
    key: 'k',
    short: 'stuck',
    says: 'stuck for 3 s',
    what: { kind: 'stuck', durationS: 3 },
  },
  {
    name: 'duplicate',
    key: 'd',
    short: 'lines twice',
    says: '3 lines twice',
    what: { kind: 'duplicate', count: 3 },
  },
  {
    name: 'beyond-rails',
    key: 'o',
    short: 'beyond the rails',
    says: '3 numbers beyond the rails',
    what: { kind: 'beyondRails', count: 3 },
  },
  {
    name: 'flag',
    key: 'w',
    short: 'warning flag',
    says: 'flag set for 2 s',
    what: { kind: 'flag', bit: 0, durationS: 2 },
  },
  { name: 'reset', key: 'z', short: 'reset', says: 'counters from 0 again', what: { kind: 'reset' } },
  {
    name: 'backwards',
    key: 'b',
    short: 'step back',
    says: 'sequence back by 20',
    what: { kind: 'backwards', by: 20 },
  },
  {
    name: 'clock-jump',
    key: 'j',
    short: 'clock jump',
    says: 'device time on by 500 ms',
    what: { kind: 'clockJump', byMs: 500 },
  },
  { name: 'unplug', key: 'u', short: 'unplug', says: 'unplugged for good', what: { kind: 'unplug' } },
] as const satisfies readonly KnownMisbehaviour[];

/** The flag that is raised is the first fault among those of the profile. */
export function misbehaviourFor(profile: AmplifierProfile, known: KnownMisbehaviour): Misbehaviour {
  if (known.what.kind !== 'flag') return known.what;
  const bits = profile.statusFlags?.bits ?? [];
  const bit = (bits.find(({ isFault }) => isFault) ?? bits[0])?.bit ?? known.what.bit;
  return { ...known.what, bit };
}

export const usage = `A simulated load-cell amplifier on a real pseudo-terminal, for trying the serial path without hardware.

  --profile ID         form of the lines: ${readyMadeProfiles.map((profile) => profile.id).join(', ')}
                       (default sequence-time-counts-checksum)
  --profile-file PATH  form of the lines: a profile that was exported from the program
  --rate HZ            lines per second (default: what the profile says)
  --tool NAME          ${simulatedToolNames.join(', ')} (all invented; default ${simulatedToolNames[0]})
  --seed N             the same seed gives the same counts (default 1)
  --every S            pull by itself every S seconds, forward and reverse in turn; 0: never (default 12)
  --trigger S          how long the trigger is held (default 7)
  --link PATH          a link to the port, so that its path stays the same
  --misbehave WHAT@S   go wrong S seconds after the first line; may be given several times. WHAT is one of
                       ${knownMisbehaviours.map(({ name }) => name).join(', ')}
  --mixed-endings      every other line ends differently
  --rate-error PPM     how much the amplifier's clock runs fast (default 0; slow: --rate-error=-50)
  --drift PPM          how much more it runs fast each minute (default 0)
  --jitter US          standard deviation of the time of sending in us (default 0)
  --rate-step F@S      from S seconds on, send F times as many lines a second; may be given several times
  --help               this text
`;

export interface SimulationChoice {
  readonly profile: AmplifierProfile;
  readonly rateHz: number;
  readonly tool: SimulatedToolName;
  readonly seed: number;
  readonly everyS: number;
  readonly triggerS: number;
  readonly linkPath: string | null;
  readonly misbehaviours: readonly { readonly atS: number; readonly what: Misbehaviour }[];
  readonly lineEndings: 'asInProfile' | 'mixed';
  /** Null: exact. */
  readonly clock: SenderClockOptions | null;
}

function readNumber(text: string, option: string, low: number, high: number): number {
  const value = Number(text);
  if (text.trim() !== '' && value >= low && value <= high) return value;
  throw new AppError(
    'input-out-of-range',
    `--${option} must be a number from ${low} to ${high}; "${text}" is not.`,
  );
}

/** The two parts of `something@seconds`. */
function splitAt(text: string, option: string): { readonly what: string; readonly atS: number } {
  const at = text.lastIndexOf('@');
  if (at < 1) {
    throw new AppError(
      'input-out-of-range',
      `--${option} needs what and when, with @ between them; "${text}" has not both.`,
    );
  }
  return { what: text.slice(0, at), atS: readNumber(text.slice(at + 1), option, 0, 86_400) };
}

function chooseProfile(id: string, filePath: string | undefined): AmplifierProfile {
  if (filePath !== undefined) return readProfileFile(readText(filePath));
  const profile = readyMadeProfiles.find((candidate) => candidate.id === id);
  if (!profile) throw new AppError('profile-not-found', `There is no profile "${id}".`);
  return profile;
}

function readText(filePath: string): string {
  try {
    return readFileSync(filePath, 'utf8');
  } catch (error) {
    throw new AppError(
      'profile-not-found',
      `The profile ${filePath} cannot be read. Give the path of a file that was exported from the program.`,
      { path: filePath },
      error,
    );
  }
}

export function readChoice(argv: string[]): SimulationChoice | 'help' {
  const { values } = parseArgs({
    args: argv,
    options: {
      profile: { type: 'string', default: 'sequence-time-counts-checksum' },
      'profile-file': { type: 'string' },
      rate: { type: 'string' },
      tool: { type: 'string', default: simulatedToolNames[0] },
      seed: { type: 'string', default: '1' },
      every: { type: 'string', default: '12' },
      trigger: { type: 'string', default: '7' },
      link: { type: 'string' },
      misbehave: { type: 'string', multiple: true, default: [] },
      'mixed-endings': { type: 'boolean', default: false },
      'rate-error': { type: 'string', default: '0' },
      drift: { type: 'string', default: '0' },
      jitter: { type: 'string', default: '0' },
      'rate-step': { type: 'string', multiple: true, default: [] },
      help: { type: 'boolean', default: false },
    },
  });
  if (values.help) return 'help';

  const profile = chooseProfile(values.profile, values['profile-file']);
  if (!isSimulatedToolName(values.tool)) {
    throw new AppError('input-out-of-range', `There is no simulated tool "${values.tool}".`);
  }
  const seed = readNumber(values.seed, 'seed', 0, 2 ** 32 - 1);
  if (!Number.isInteger(seed)) throw new AppError('input-out-of-range', '--seed must be a whole number.');
  const clock = {
    rateErrorPpm: readNumber(values['rate-error'], 'rate-error', -100_000, 100_000),
    driftPpmPerMinute: readNumber(values.drift, 'drift', -1000, 1000),
    jitterUs: readNumber(values.jitter, 'jitter', 0, 1_000_000),
    rateSteps: values['rate-step'].map((text) => {
      const { what, atS } = splitAt(text, 'rate-step');
      return { atS, factor: readNumber(what, 'rate-step', 0.01, 100) };
    }),
  };
  const isExact =
    clock.rateErrorPpm === 0 &&
    clock.driftPpmPerMinute === 0 &&
    clock.jitterUs === 0 &&
    clock.rateSteps.length === 0;
  return {
    profile,
    rateHz: readNumber(values.rate ?? String(profile.nominalRateHz), 'rate', 1, 200_000),
    tool: values.tool,
    seed,
    everyS: readNumber(values.every, 'every', 0, 3600),
    triggerS: readNumber(values.trigger, 'trigger', 0.1, 120),
    linkPath: values.link ?? null,
    misbehaviours: values.misbehave.map((text) => {
      const { what, atS } = splitAt(text, 'misbehave');
      const known = knownMisbehaviours.find(({ name }) => name === what);
      if (!known) {
        throw new AppError(
          'input-out-of-range',
          `The simulated amplifier cannot "${what}"; --help lists what it can.`,
        );
      }
      return { atS, what: misbehaviourFor(profile, known) };
    }),
    lineEndings: values['mixed-endings'] ? 'mixed' : 'asInProfile',
    clock: isExact ? null : clock,
  };
}
