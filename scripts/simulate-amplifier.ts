import process from 'node:process';
import { parseArgs } from 'node:util';
import { PtyAmplifier } from '../main/simulation/pty-amplifier.ts';
import { readyMadeProfiles, type AmplifierProfile } from '../shared-lib/amplifier/amplifier-profile.ts';
import { AppError } from '../shared-lib/app-error.ts';
import type { Misbehaviour } from '../shared-lib/simulation/simulated-bench.ts';
import { createSimulatedLines } from '../shared-lib/simulation/simulated-lines.ts';
import {
  isSimulatedToolName,
  simulatedToolNames,
  type SimulatedToolName,
} from '../shared-lib/simulation/simulated-tool.ts';
import type { Direction } from '../shared-lib/trial/trial-model.ts';

const usage = `A simulated load-cell amplifier on a real pseudo-terminal, for trying the serial path without hardware.

  --profile ID   form of the lines: ${readyMadeProfiles.map((profile) => profile.id).join(', ')}
                 (default sequence-time-counts-checksum)
  --rate HZ      lines per second (default 80)
  --tool NAME    ${simulatedToolNames.join(', ')} (all invented; default ${simulatedToolNames[0]})
  --seed N       the same seed gives the same counts (default 1)
  --every S      pull by itself every S seconds, forward and reverse in turn; 0: never (default 12)
  --trigger S    how long the trigger is held (default 7)
  --link PATH    a link to the port, so that its path stays the same
  --help         this text
`;

const keys =
  'Keys: f pull forward, r pull in reverse, p push clockwise by hand, g lose lines, x garbage, s silence, q quit';

interface SimulationChoice {
  readonly profile: AmplifierProfile;
  readonly rateHz: number;
  readonly tool: SimulatedToolName;
  readonly seed: number;
  readonly everyS: number;
  readonly triggerS: number;
  readonly linkPath: string | null;
}

function readNumber(text: string, option: string, low: number, high: number): number {
  const value = Number(text);
  if (text.trim() !== '' && value >= low && value <= high) return value;
  throw new AppError(
    'input-out-of-range',
    `--${option} must be a number from ${low} to ${high}; "${text}" is not.`,
  );
}

function readChoice(argv: string[]): SimulationChoice | 'help' {
  const { values } = parseArgs({
    args: argv,
    options: {
      profile: { type: 'string', default: 'sequence-time-counts-checksum' },
      rate: { type: 'string', default: '80' },
      tool: { type: 'string', default: simulatedToolNames[0] },
      seed: { type: 'string', default: '1' },
      every: { type: 'string', default: '12' },
      trigger: { type: 'string', default: '7' },
      link: { type: 'string' },
      help: { type: 'boolean', default: false },
    },
  });
  if (values.help) return 'help';

  const profile = readyMadeProfiles.find(({ id }) => id === values.profile);
  if (!profile) throw new AppError('profile-not-found', `There is no profile "${values.profile}".`);
  if (!isSimulatedToolName(values.tool)) {
    throw new AppError('input-out-of-range', `There is no simulated tool "${values.tool}".`);
  }
  const seed = readNumber(values.seed, 'seed', 0, 2 ** 32 - 1);
  if (!Number.isInteger(seed)) throw new AppError('input-out-of-range', '--seed must be a whole number.');
  return {
    profile,
    rateHz: readNumber(values.rate, 'rate', 1, 200_000),
    tool: values.tool,
    seed,
    everyS: readNumber(values.every, 'every', 0, 3600),
    triggerS: readNumber(values.trigger, 'trigger', 0.1, 120),
    linkPath: values.link ?? null,
  };
}

function serve(choice: SimulationChoice): Promise<number> {
  const { profile, rateHz, tool, seed, triggerS, linkPath } = choice;
  const lines = createSimulatedLines({ seed, sampleRateHz: rateHz, tool }, profile);
  const amplifier = new PtyAmplifier({
    source: lines,
    rateHz,
    whenFull: 'drop',
    ...(linkPath === null ? {} : { linkPath }),
  });

  const say = (text: string) => process.stdout.write(`${text}\n`);
  say(`Simulated amplifier (${tool}, ${rateHz} lines/s) on ${amplifier.path}`);
  say(
    `In the program: Setup, type ${amplifier.path} as the port, profile "${profile.name}", ${rateHz} Sa/s.`,
  );
  say(process.stdin.isTTY ? keys : 'Ctrl+C ends it.');

  function pull(direction: Direction): void {
    lines.bench.pull({ direction, triggerS, delayS: 0 });
    say(`pull ${direction}, ${triggerS} s`);
  }

  function misbehave(what: Misbehaviour, name: string): void {
    lines.misbehave(what);
    say(name);
  }

  let pullsByItself = 0;
  function pullByItself(): void {
    const nowS = lines.bench.sampleCount / rateHz;
    if (lines.bench.busyUntilS > nowS) return;
    pull(pullsByItself % 2 === 0 ? 'forward' : 'reverse');
    pullsByItself += 1;
  }
  const everyTimer = choice.everyS > 0 ? setInterval(pullByItself, choice.everyS * 1000) : null;

  return new Promise((resolve) => {
    function end(): void {
      if (everyTimer) clearInterval(everyTimer);
      process.off('SIGINT', end);
      process.off('SIGTERM', end);
      process.stdin.off('data', onKeys);
      if (process.stdin.isTTY) process.stdin.setRawMode(false);
      process.stdin.pause();
      const { written, dropped, unheard } = amplifier.counters;
      amplifier.close();
      say(
        `${written} lines written, ${dropped} dropped at a full buffer, ${unheard} while no program listened.`,
      );
      resolve(0);
    }

    function onKey(key: string): void {
      switch (key) {
        case 'f':
          pull('forward');
          break;
        case 'r':
          pull('reverse');
          break;
        case 'p':
          lines.bench.push(40, 2);
          say('push clockwise, 40 N·m');
          break;
        case 'g':
          misbehave({ kind: 'gap', count: 5 }, '5 lines lost');
          break;
        case 'x':
          misbehave({ kind: 'garbage', durationS: 0.2 }, 'garbage for 0.2 s');
          break;
        case 's':
          misbehave({ kind: 'silence', durationS: 2 }, 'silence for 2 s');
          break;
        // In raw mode Ctrl+C is a key like any other.
        case 'q':
        case '\u0003':
          end();
          break;
        default:
          say(keys);
      }
    }

    function onKeys(bytes: Buffer): void {
      for (const key of bytes.toString('latin1')) onKey(key);
    }

    process.on('SIGINT', end);
    process.on('SIGTERM', end);
    if (process.stdin.isTTY) {
      process.stdin.setRawMode(true);
      process.stdin.on('data', onKeys);
    }
  });
}

function isUsageError(error: unknown): error is Error {
  if (error instanceof AppError) return true;
  return error instanceof TypeError && 'code' in error && String(error.code).startsWith('ERR_PARSE_ARGS');
}

/** Serves a simulated amplifier until it is told to end; resolves to the exit code. */
export async function simulateAmplifier(argv: string[]): Promise<number> {
  try {
    const choice = readChoice(argv);
    if (choice === 'help') {
      process.stdout.write(usage);
      return 0;
    }
    return await serve(choice);
  } catch (error) {
    if (!isUsageError(error)) throw error;
    process.stderr.write(`${error.message}\n`);
    return 2;
  }
}
