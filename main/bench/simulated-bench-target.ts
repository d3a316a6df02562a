import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import {
  simulatedCalibration,
  simulatedTransducer,
} from '../../shared-lib/simulation/simulated-transducer.ts';
import type { SimulatedPull } from '../../shared-lib/simulation/simulated-bench.ts';
import { simulatedToolNames } from '../../shared-lib/simulation/simulated-tool.ts';
import { COUNTDOWN_S } from '../../shared-lib/trial/trial-state.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import type { AmplifierTarget } from '../amplifier/amplifier-target.ts';

export const SIMULATED_TRANSDUCER_ID = 'simulated-bench';
const SIMULATED_CALIBRATION_ID = 'simulated-bench-calibration';
/** Fast enough to show single blows. */
const SIMULATED_RATE_HZ = 1000;
/** A transducer keeps its zero from one start to the next, so that a calibration run can go on. */
const SIMULATED_ZERO_COUNTS = 14_200;
/** Enough for a calibration to show, as it would of a good transducer. */
const SIMULATED_WEIGHTS = { creepShare: 0.0002, creepS: 60, hysteresisShare: 0.0005 };

/** The simulated bench as the program meets it: an amplifier, a transducer, and a calibration that is true of it. */
export function simulatedBenchTarget(
  seed: number,
  createdAt: string,
): {
  target: AmplifierTarget;
  transducer: Omit<Transducer, 'isSimulated' | 'activeCalibrationId'>;
  calibration: CalibrationVersion;
} {
  return {
    target: {
      source: {
        kind: 'simulated',
        options: {
          seed,
          sampleRateHz: SIMULATED_RATE_HZ,
          zeroCounts: SIMULATED_ZERO_COUNTS,
          weights: SIMULATED_WEIGHTS,
        },
      },
      profile: simulatedProfile(),
      amplifier: null,
    },
    transducer: {
      id: SIMULATED_TRANSDUCER_ID,
      name: 'Simulated transducer (demo)',
      ...simulatedTransducer,
      senseSign: 1,
      senseConfirmedAt: createdAt,
    },
    calibration: {
      id: SIMULATED_CALIBRATION_ID,
      transducerId: SIMULATED_TRANSDUCER_ID,
      amplifierId: null,
      label: 'Simulated bench, built in (demo)',
      method: 'simulated',
      ...simulatedCalibration,
      enteredUncertaintyPercent: null,
      input: null,
      runId: null,
      validUntil: null,
      validForTrials: null,
      operator: '',
      note: 'Comes with the simulated bench and is true of its model. It says nothing about a real transducer.',
      createdAt,
      supersededAt: null,
      supersedeReason: null,
    },
  };
}

function simulatedProfile(): AmplifierProfile {
  const profile = readyMadeProfiles.find(({ checksum }) => checksum === 'xor');
  if (!profile) throw new Error('There is no ready-made profile with a checksum');
  return { ...profile, nominalRateHz: SIMULATED_RATE_HZ, baudRate: 921_600 };
}

/** The tool that a newcomer meets: the one the simulated bench pulls by itself. */
export const SIMULATED_TOOL_NAME = 'Hollin H5 (demo)';

const OPERATOR_DELAY_S = 0.6;
/** The simulated operator holds the trigger a little past the stop, as a person does. */
const TRIGGER_OVERRUN_S = 0.3;

/** One blow, no longer a trigger than that: what a tap on the bar is to a rig. */
export const SIMULATED_TAP: SimulatedPull = {
  tool: 'Brindlow B4',
  direction: 'forward',
  triggerS: 0.05,
  delayS: 1,
};

/** A fastener that the stronger tools of the simulated bench loosen, and the weaker ones do not. */
const PRELOAD_NM = 400;
/** Of the planned time, so that the charge is used up before it however long that is. */
const CHARGE_SHARE = 0.9;
const FADE_SHARE = 0.3;

/**
 * The pull for a step; the tool is the invented one whose name begins the tool name, else the bench's own. A breakaway's
 * begins with the countdown, in which the fastener is tightened, all others with the go. `setting`: of the setup; "clutch
 * 40" has a clutch that lets go at 40 N·m.
 */
export function simulatedPull(step: Step, setting = ''): SimulatedPull {
  const tool = simulatedToolNames.find((name) => step.toolName.toLowerCase().startsWith(name.toLowerCase()));
  const pull: SimulatedPull = {
    ...(tool === undefined ? {} : { tool }),
    direction: step.direction,
    triggerS: step.plannedS + TRIGGER_OVERRUN_S,
    delayS: OPERATOR_DELAY_S,
  };
  switch (step.kind) {
    case 'tighten':
      return pull;
    case 'breakaway':
      return {
        ...pull,
        delayS: COUNTDOWN_S + OPERATOR_DELAY_S,
        work: { kind: 'breakaway', preloadNm: step.preloadNm ?? PRELOAD_NM },
      };
    case 'stall':
      return { ...pull, work: { kind: 'stall', clutchNm: clutchNm(setting) } };
    case 'endurance':
      return {
        ...pull,
        work: { kind: 'endurance', chargeS: CHARGE_SHARE * step.plannedS, fadeShare: FADE_SHARE },
      };
  }
}

function clutchNm(setting: string): number | null {
  const written = /clutch\D*(\d+(?:\.\d+)?)/i.exec(setting)?.[1];
  return written === undefined ? null : Number(written);
}
