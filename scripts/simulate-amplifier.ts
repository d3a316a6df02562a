import process from 'node:process';
import { PtyAmplifier } from '../main/simulation/pty-amplifier.ts';
import { AppError } from '../shared-lib/app-error.ts';
import { createSenderClock } from '../shared-lib/simulation/sender-clock.ts';
import { createSimulatedLines } from '../shared-lib/simulation/simulated-lines.ts';
import type { Direction } from '../shared-lib/trial/step-model.ts';
import {
  knownMisbehaviours,
  misbehaviourFor,
  readChoice,
  usage,
  type SimulationChoice,
} from './simulate-options.ts';

const keys = `Keys: f pull forward, r pull in reverse, p push clockwise by hand, q quit; to go wrong: ${knownMisbehaviours
  .map(({ key, short }) => `${key} ${short}`)
  .join(', ')}`;

function serve(choice: SimulationChoice): Promise<number> {
  const { profile, rateHz, tool, seed, triggerS, linkPath } = choice;
  const say = (text: string) => process.stdout.write(`${text}\n`);
  const { misbehaviours, lineEndings, clock } = choice;
  const ofClock = clock === null ? {} : { clock };
  const lines = createSimulatedLines(
    { seed, sampleRateHz: rateHz, tool, misbehaviours, lineEndings, ...ofClock },
    profile,
  );
  const amplifier = new PtyAmplifier({
    source: lines,
    rateHz,
    whenFull: 'drop',
    ...(clock === null ? {} : { clock: createSenderClock(rateHz, clock, seed) }),
    onReceived: (text) => {
      say(`received ${JSON.stringify(text)}`);
    },
    ...(linkPath === null ? {} : { linkPath }),
  });

  say(`Simulated amplifier (${tool}, ${rateHz} lines/s) on ${amplifier.path}`);
  say(
    `In the program: Setup, type ${amplifier.path} as the port, profile "${profile.name}", ${rateHz} Sa/s.`,
  );
  say(process.stdin.isTTY ? keys : 'Ctrl+C ends it.');

  function pull(direction: Direction): void {
    lines.bench.pull({ direction, triggerS, delayS: 0 });
    say(`pull ${direction}, ${triggerS} s`);
  }

  function misbehave(known: (typeof knownMisbehaviours)[number]): void {
    try {
      lines.misbehave(misbehaviourFor(profile, known));
      say(known.says);
    } catch (error) {
      // A key that does not go with the profile is no reason to end.
      if (!(error instanceof AppError)) throw error;
      say(error.message);
    }
  }

  let pullsByItself = 0;
  function pullByItself(): void {
    if (lines.bench.busyUntilS > lines.bench.elapsedS) return;
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
        // In raw mode Ctrl+C is a key like any other.
        case 'q':
        case '\u0003':
          end();
          break;
        default: {
          const known = knownMisbehaviours.find((candidate) => candidate.key === key);
          if (known) misbehave(known);
          else say(keys);
        }
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
    process.stderr.write(`${error.message}\n\n${usage}`);
    return 2;
  }
}
