import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { listStandards, removeStandard, saveStandard } from '../storage/standards-repository.ts';
import type { CalibrationPart, CalibrationTools } from './calibration-tools.ts';

export type StandardsPart = CalibrationPart<'listStandards' | 'saveStandard' | 'removeStandard'>;

/** The lists of weights, arms and sites. */
export function createStandardsPart({ database }: Pick<CalibrationTools, 'database'>): StandardsPart {
  return {
    handlers: {
      listStandards: () => listStandards(database),
      saveStandard: ({ standard }) =>
        retryWhenLocked(() => {
          saveStandard(database, standard);
          return listStandards(database);
        }),
      removeStandard: ({ kind, id }) =>
        retryWhenLocked(() => {
          removeStandard(database, kind, id);
          return listStandards(database);
        }),
    },
    receive: () => undefined,
    amplifierLost: () => undefined,
    tick: () => undefined,
    close: () => undefined,
  };
}
