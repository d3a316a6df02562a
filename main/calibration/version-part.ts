import type { CalibrationPart, CalibrationTools } from './calibration-tools.ts';

export type VersionPart = CalibrationPart<'getCalibrationReport' | 'compareCalibrations' | 'reassignTrials'>;

export function createVersionPart(_tools: CalibrationTools): VersionPart {
  const notYet = (): never => {
    throw new Error('TODO');
  };
  return {
    handlers: { getCalibrationReport: notYet, compareCalibrations: notYet, reassignTrials: notYet },
    receive: () => undefined,
    amplifierLost: () => undefined,
    tick: () => undefined,
    close: () => undefined,
  };
}
