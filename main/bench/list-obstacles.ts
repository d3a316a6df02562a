import type { AmplifierStatus, Obstacle } from '../../shared-lib/bench-status.ts';
import { formatDuration, formatRate } from '../../shared-lib/format-quantity.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { describeSetup } from '../../shared-lib/run-sheet/describe-entry.ts';
import type { SheetOnBench } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { MIN_MEASURING_RATE_HZ } from '../../shared-lib/signal/measuring-curve.ts';
import { sensesOf } from '../../shared-lib/trial/judge-trial.ts';
import { longestRunS } from '../../shared-lib/trial/kind-rules.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';

/** Ours: a rate that drifts or a busy machine is a fault of its own; from a third off on, the wrong rate was entered. */
const ANOTHER_RATE_SHARE = 1 / 3;

function isAnotherRate(measuredRateHz: number, nominalRateHz: number): boolean {
  return Math.abs(measuredRateHz / nominalRateHz - 1) > ANOTHER_RATE_SHARE;
}

export interface BenchReadiness {
  readonly amplifier: AmplifierStatus;
  readonly transducer: Transducer | null;
  readonly calibration: CalibrationVersion | null;
  /** The amplifier that the calibration was made with, where another one is connected. */
  readonly calibratedWith: string | null;
  readonly hasZero: boolean;
  readonly isSafetyConfirmed: boolean;
  readonly step: Step;
  readonly sheet: SheetOnBench | null;
}

/** What stands in the way of the next trial, in the order in which a person would put it right. */
export function listObstacles(bench: BenchReadiness): Obstacle[] {
  const { amplifier, transducer, calibration, step } = bench;
  if (amplifier.link === 'disconnected' || amplifier.link === 'failed' || !transducer) {
    return [
      {
        code: 'amplifier-not-connected',
        sentence: amplifier.problem?.sentence ?? 'No amplifier is connected.',
        remedy: 'setup',
      },
    ];
  }
  if (amplifier.link !== 'connected') {
    return [
      {
        code: amplifier.problem?.code ?? 'amplifier-not-connected',
        sentence: amplifier.problem?.sentence ?? 'The amplifier is being connected.',
        remedy: amplifier.link === 'connecting' ? 'none' : 'setup',
      },
    ];
  }

  const obstacles: Obstacle[] = [];
  const add = (code: string, remedy: Obstacle['remedy'], sentence: string): void => {
    obstacles.push({ code, sentence, remedy });
  };
  if ((amplifier.nominalRateHz ?? 0) < MIN_MEASURING_RATE_HZ) {
    add(
      'rate-too-low',
      'setup',
      `A trial needs at least ${MIN_MEASURING_RATE_HZ} samples per second; this amplifier gives ${amplifier.nominalRateHz ?? 0}. Live readings work.`,
    );
  }
  const { nominalRateHz, measuredRateHz } = amplifier;
  if (nominalRateHz !== null && measuredRateHz !== null && isAnotherRate(measuredRateHz, nominalRateHz)) {
    add(
      'rate-not-as-set',
      'setup',
      `The amplifier sends ${formatRate(measuredRateHz)}, but Setup says ${formatRate(nominalRateHz)}. Windows and times of a run go by it: use the measured rate in Setup.`,
    );
  }
  const rateHz = measuredRateHz ?? nominalRateHz;
  if (rateHz !== null && step.plannedS > longestRunS(rateHz)) {
    add(
      'run-too-long',
      'none',
      `At ${formatRate(rateHz)} a run of up to ${formatDuration(longestRunS(rateHz), 0)} can be measured; the step plans ${formatDuration(step.plannedS, 0)}. Plan less, or set the amplifier to a lower rate.`,
    );
  }
  if (transducer.capacityNm === null) {
    add(
      'transducer-incomplete',
      'setup',
      "Enter the transducer's capacity in Setup: onset and overload are judged by it.",
    );
  }
  if (!calibration) {
    add(
      'calibration-missing',
      'calibrate',
      'This transducer has no calibration, so the Bench shows counts. Make one to see torque.',
    );
    return obstacles;
  }
  if (bench.calibratedWith !== null) {
    add(
      'calibration-of-another-amplifier',
      'calibrate',
      `The calibration of this transducer was made with "${bench.calibratedWith}". It holds for the whole chain of transducer, cable and amplifier, so the Bench shows counts. Calibrate again with this amplifier, or connect the old one.`,
    );
    return obstacles;
  }
  const sense = sensesOf(step, transducer.senseSign).find((name) => calibration[name] === null);
  if (sense !== undefined) {
    add(
      'calibration-sense-missing',
      'calibrate',
      `A ${step.kind === 'breakaway' ? 'breakaway' : `${step.direction} run`} rests on the ${sense} sense of the calibration, which was not calibrated. Calibrate it, or choose another step.`,
    );
  }
  if (!bench.isSafetyConfirmed) {
    add(
      'safety-not-confirmed',
      'safety',
      'Go through the safety list once before the first trial of this session.',
    );
  }
  if (!bench.hasZero) {
    add('not-unloaded', 'zero', 'Take the tool off the transducer and set the zero.');
  }
  if (bench.hasZero && transducer.senseConfirmedAt === null) {
    add(
      'sense-not-confirmed',
      'sense',
      'Confirm once which way is forward: push the transducer clockwise by hand, seen from behind the tool.',
    );
  }
  if (bench.sheet) addOfSheet(bench.sheet, add);
  return obstacles;
}

function addOfSheet(
  { name, current, isSetupInHand }: SheetOnBench,
  add: (code: string, remedy: Obstacle['remedy'], sentence: string) => void,
): void {
  if (current === null) {
    add(
      'run-sheet-over',
      'none',
      `Everything on the run sheet "${name}" is done or skipped. Close it, or leave it to pull trials one by one.`,
    );
  } else if (!isSetupInHand) {
    add('setup-not-in-hand', 'setupInHand', `Take up ${describeSetup(current.setup)}, and confirm it.`);
  }
}
