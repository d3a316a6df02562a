import type { RunSheetEntry, SheetOnBench } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import type { Preparation, SetupAsTested } from '../../shared-lib/run-sheet/setup-model.ts';
import { demoStep } from './scripted-bench.ts';

/** Ready-made states of a run sheet for tests of the window. Tools are invented. */
export const demoSetup: SetupAsTested = {
  setupId: 'setup-hollin',
  toolId: 'tool-hollin',
  toolName: 'Hollin H5',
  supply: 'battery',
  declaredVibrationMps2: null,
  declaredNoiseDbA: null,
  packId: 'pack-2',
  packName: 'pack 2',
  packCapacityAh: 5,
  setting: '',
  socket: null,
};

export const otherSetup: SetupAsTested = {
  ...demoSetup,
  setupId: 'setup-tarnwick',
  toolId: 'tool-tarnwick',
  toolName: 'Tarnwick T6',
  packId: 'pack-1',
  packName: 'pack 1',
};

export function demoEntry(id: string, change: Partial<RunSheetEntry> = {}): RunSheetEntry {
  return {
    id,
    setup: demoSetup,
    step: demoStep,
    role: 'counted',
    round: 2,
    repeat: 1,
    restS: 90,
    state: 'open',
    skipReason: null,
    trialIds: [],
    ...change,
  };
}

export const nothingFound: Preparation = {
  packRestedV: null,
  packTemperatureC: null,
  toolTemperatureC: null,
  fastener: null,
  fastenerPullsSinceNew: null,
  lubricant: null,
  inletPressureKpa: null,
  hoseBoreMm: null,
  isCarriedOver: false,
};

export const demoSheet: SheetOnBench = {
  id: 'sheet-1',
  name: 'Three tools',
  current: demoEntry('e1'),
  following: [demoEntry('e2', { step: { ...demoStep, direction: 'reverse', plannedS: 10 } })],
  isSetupInHand: true,
  asks: [],
  prefilled: nothingFound,
  restUntil: null,
  restLeftS: null,
  doneCount: 12,
  skippedCount: 0,
  totalCount: 27,
  rounds: 3,
  roundsToPublish: 5,
};
