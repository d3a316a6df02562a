import type { CalibrationPart, CalibrationTools } from './calibration-tools.ts';

export type CheckPart = CalibrationPart<'getDailyChecks' | 'recordDailyCheck' | 'decideSuspects'>;

export function createCheckPart(_tools: CalibrationTools): CheckPart {
  const notYet = (): never => {
    throw new Error('TODO');
  };
  return {
    handlers: { getDailyChecks: notYet, recordDailyCheck: notYet, decideSuspects: notYet },
    receive: () => undefined,
    amplifierLost: () => undefined,
    tick: () => undefined,
    close: () => undefined,
  };
}
