import type { CalibrationPart, CalibrationTools } from './calibration-tools.ts';

export type RingingPart = CalibrationPart<'recordRinging' | 'getRinging'>;

export function createRingingPart(_tools: CalibrationTools): RingingPart {
  const notYet = (): never => {
    throw new Error('TODO');
  };
  return {
    handlers: { recordRinging: notYet, getRinging: notYet },
    receive: () => undefined,
    amplifierLost: () => undefined,
    tick: () => undefined,
    close: () => undefined,
  };
}
