import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { listStandards, removeStandard, saveStandard } from '../storage/standards-repository.ts';
import type { CalibrationPart, CalibrationTools } from './calibration-tools.ts';

export type StandardsPart = CalibrationPart<'listStandards' | 'saveStandard' | 'removeStandard'>;

/** The lists of weights, arms and sites. */
export function createStandardsPart({
  database,
  emit,
}: Pick<CalibrationTools, 'database' | 'emit'>): StandardsPart {
  return {
    handlers: {
      listStandards: () => listStandards(database),
      saveStandard: ({ standard }) =>
        retryWhenLocked(() => {
          saveStandard(database, standard);
          emit('standardsChanged', {});
          return listStandards(database);
        }),
      removeStandard: ({ kind, id }) =>
        retryWhenLocked(() => {
          removeStandard(database, kind, id);
          emit('standardsChanged', {});
          return listStandards(database);
        }),
    },
    receive: () => undefined,
    amplifierLost: () => undefined,
    tick: () => undefined,
    close: () => undefined,
  };
}
