import type { CalibrationPart, CalibrationTools } from './calibration-tools.ts';

export type RunPart = CalibrationPart<
  | 'previewRun'
  | 'startRun'
  | 'getRun'
  | 'confirmHandling'
  | 'takeReading'
  | 'redoReading'
  | 'pauseRun'
  | 'resumeRun'
  | 'discardRun'
  | 'evaluateRun'
  | 'acceptRun'
  | 'hangSimulatedWeights'
>;

export function createRunPart(_tools: CalibrationTools): RunPart {
  const notYet = (): never => {
    throw new Error('TODO');
  };
  return {
    handlers: {
      previewRun: notYet,
      startRun: notYet,
      getRun: notYet,
      confirmHandling: notYet,
      takeReading: notYet,
      redoReading: notYet,
      pauseRun: notYet,
      resumeRun: notYet,
      discardRun: notYet,
      evaluateRun: notYet,
      acceptRun: notYet,
      hangSimulatedWeights: notYet,
    },
    receive: () => undefined,
    amplifierLost: () => undefined,
    tick: () => undefined,
    close: () => undefined,
  };
}
