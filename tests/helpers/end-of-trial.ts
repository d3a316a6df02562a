import { pausesOver } from './late-writer.ts';
import type { RunningPtyAmplifier } from './running-pty-amplifier.ts';
import type { RunningServices } from './running-services.ts';

const HOLD_UP_MS = 50;
/** What becomes of a run whose lines came late: a rate that looks off, or no line for a quarter of a second. */
const MADE_BY_A_HOLD_UP: readonly string[] = ['rateOffNominal', 'silence'];

/**
 * Waits for the end of a run that nothing interrupts, and returns its trial once that is kept: by itself or, where the
 * machine was held up and nothing else is to be looked at, as the operator would decide.
 */
export async function untilKept(bench: RunningServices, wasHeldUp: () => boolean): Promise<string> {
  const { trial } = await bench.until(
    'the end of the trial',
    ({ trial: { phase } }) => phase === 'kept' || phase === 'reviewing' || phase === 'interrupted',
  );
  if (trial.phase === 'kept') return trial.trialId;
  if (
    trial.phase === 'reviewing' &&
    trial.quality.reasons.every(({ code }) => MADE_BY_A_HOLD_UP.includes(code)) &&
    wasHeldUp()
  ) {
    await bench.handlers.keepTrial({ trialId: trial.trialId });
    return trial.trialId;
  }
  throw new Error(`Not kept, with the machine ${wasHeldUp() ? '' : 'not '}held up: ${JSON.stringify(trial)}`);
}

/** The same for an amplifier whose own writing is the witness. */
export async function untilKeptFrom(amplifier: RunningPtyAmplifier, bench: RunningServices): Promise<string> {
  return untilKept(bench, () => pausesOver(amplifier, HOLD_UP_MS).length > 0);
}
