import type { CalibrationPart, CalibrationTools } from './calibration-tools.ts';

export type StandardsPart = CalibrationPart<'listStandards' | 'saveStandard' | 'removeStandard'>;

export function createStandardsPart(_tools: CalibrationTools): StandardsPart {
  const notYet = (): never => {
    throw new Error('TODO');
  };
  return {
    handlers: { listStandards: notYet, saveStandard: notYet, removeStandard: notYet },
    receive: () => undefined,
    amplifierLost: () => undefined,
    tick: () => undefined,
    close: () => undefined,
  };
}
