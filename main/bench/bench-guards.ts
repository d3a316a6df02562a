import { AppError } from '../../shared-lib/app-error.ts';
import { isUnderWay } from '../../shared-lib/trial/trial-state.ts';
import type { BenchTools } from './bench-tools.ts';

/** What must not change while something else has the bench. Errors of all: AppError 'invalid-state'. */
export interface BenchGuards {
  readonly refuseDuringTrial: (what: string) => void;
  readonly refuseDuringRun: (what: string) => void;
  /** Neither trial, calibration run, guided push, tap, nor the amplifier's zero is under way. */
  readonly refuseWhileBusy: (what: string) => void;
  /** The last trial waits for nobody's decision. */
  readonly refuseUndecided: () => void;
}

export function createBenchGuards(
  tools: Pick<BenchTools, 'runner' | 'runClaim' | 'senseWatch' | 'ringingWatch' | 'zeroWatch'>,
): BenchGuards {
  const refuse = (message: string): never => {
    throw new AppError('invalid-state', message);
  };

  const refuseDuringTrial = (what: string): void => {
    if (!isUnderWay(tools.runner.state().phase)) return;
    refuse(`${what} has to wait until the trial under way is over; nothing was changed.`);
  };

  const refuseDuringRun = (what: string): void => {
    const holder = tools.runClaim.heldBy();
    if (holder === null) return;
    if (holder === 'import') {
      refuse(
        `${what} has to wait until the data package is taken in: Share shows how far it is, and can cancel it. Nothing was changed.`,
      );
    }
    refuse(
      `${what} has to wait until the calibration run is over: pause it in Calibrate, or end it. Nothing was changed.`,
    );
  };

  return {
    refuseDuringTrial,
    refuseDuringRun,
    refuseUndecided() {
      if (tools.runner.state().phase === 'reviewing') {
        refuse('The last trial is still to be decided. Keep it or void it, then start the next one.');
      }
    },
    refuseWhileBusy(what) {
      refuseDuringTrial(what);
      refuseDuringRun(what);
      if (tools.senseWatch.isWatching()) {
        refuse(
          `${what} has to wait until the guided push was seen; push clockwise now. Nothing was changed.`,
        );
      }
      if (tools.ringingWatch.isWatching()) {
        refuse(`${what} has to wait until the tap was seen; tap now, or wait 15 s. Nothing was changed.`);
      }
      if (tools.zeroWatch.isWatching()) {
        refuse(
          `${what} has to wait until the amplifier has set its zero. Nothing was changed; try again in a moment.`,
        );
      }
    },
  };
}
