import { expect } from 'vitest';
import type { Services } from '../../main/services.ts';
import type { WebSocketConnection } from '../../renderer/api-client/websocket-connection.ts';
import type { Plan } from '../../shared-lib/run-sheet/plan-model.ts';
import type { RunSheetDraft, RunSheet } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import type { Pack, Preparation, Setup, Tool } from '../../shared-lib/run-sheet/setup-model.ts';
import type { FedBench } from './bench-with-fed-reader.ts';

/** Invented tools, and a plan short enough for a test. */
export const hollin: Tool = {
  id: 'tool-hollin',
  name: 'Hollin H5 (demo)',
  supply: 'battery',
  declaredVibrationMps2: 12,
  declaredNoiseDbA: 98,
  isArchived: false,
};
export const brindlow: Tool = {
  ...hollin,
  id: 'tool-brindlow',
  name: 'Brindlow B4 (demo)',
  declaredVibrationMps2: null,
};
export const pack1: Pack = { id: 'pack-1', name: 'Pack 1', nominalV: 18, capacityAh: 5, isArchived: false };
export const pack2: Pack = { ...pack1, id: 'pack-2', name: 'Pack 2' };
export const hollinSetup: Setup = {
  id: 'setup-hollin',
  toolId: hollin.id,
  packId: pack1.id,
  setting: '',
  socket: { name: 'Socket 24 mm', massKg: 0.3, lengthM: 0.05 },
  isArchived: false,
};
export const brindlowSetup: Setup = {
  ...hollinSetup,
  id: 'setup-brindlow',
  toolId: brindlow.id,
  packId: pack2.id,
};

export const shortPlan: Plan = {
  id: 'plan-short',
  name: 'Forward half a second',
  steps: [{ kind: 'tighten', direction: 'forward', plannedS: 0.5, preloadNm: null, repeats: 1, restS: 0 }],
  conditioningPulls: 0,
  rounds: 1,
  roundsToPublish: 5,
  reference: null,
  asks: [],
};

export function draft(changes: Partial<RunSheetDraft> = {}): RunSheetDraft {
  return {
    name: 'Two tools',
    plan: shortPlan,
    setupIds: [hollinSetup.id, brindlowSetup.id],
    referenceSetupId: null,
    order: 'asListed',
    seed: 1,
    ...changes,
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

type Handlers = Services['handlers'];

export async function putInItems(handlers: Handlers): Promise<void> {
  for (const tool of [hollin, brindlow]) await handlers.saveTool({ tool });
  for (const pack of [pack1, pack2]) await handlers.savePack({ pack });
  for (const setup of [hollinSetup, brindlowSetup]) await handlers.saveSetup({ setup });
}

/** The same from a window. */
export async function putInItemsFrom(window: WebSocketConnection): Promise<void> {
  for (const tool of [hollin, brindlow]) await window.request('saveTool', { tool });
  for (const pack of [pack1, pack2]) await window.request('savePack', { pack });
  for (const setup of [hollinSetup, brindlowSetup]) await window.request('saveSetup', { setup });
}

/** Made and put on the bench. */
export async function openNewSheet(
  handlers: Handlers,
  changes: Partial<RunSheetDraft> = {},
): Promise<RunSheet> {
  const sheet = await handlers.makeRunSheet({ draft: draft(changes) });
  await handlers.openRunSheet({ runSheetId: sheet.id });
  return sheet;
}

/** What a window has of the run sheet on the bench. */
export async function onBench(handlers: Handlers) {
  const { runSheet } = await handlers.getStatus({});
  if (runSheet === null) throw new Error('There is no run sheet on the bench');
  return runSheet;
}

/** The setup of the current entry in hand, as it is prefilled unless something else was found. */
export async function takeUp(handlers: Handlers, found: Partial<Preparation> = {}): Promise<string> {
  const { current, prefilled } = await onBench(handlers);
  if (current === null) throw new Error('Nothing is left to be pulled');
  await handlers.confirmSetup({
    entryId: current.id,
    preparation: { ...prefilled, ...found },
    lastPackRestedV: null,
  });
  return current.id;
}

/** From arming to the end of a pull of half a second, forward unless `sign` is -1; a trial that has to be looked at is kept. */
export async function pullOnFedBench(
  bench: FedBench,
  { sign = 1, isRestCut }: { readonly isRestCut?: boolean; readonly sign?: 1 | -1 } = {},
): Promise<string> {
  await bench.handlers.armTrial(isRestCut === undefined ? {} : { isRestCut });
  bench.feed(0, 3.6);
  bench.feed(sign * 200, 0.8);
  bench.feed(0, 3);
  await bench.until('an ended trial', () => ['kept', 'reviewing'].includes(bench.status().trial.phase));
  const { trial } = bench.status();
  if (!('trialId' in trial)) throw new Error('There is no trial');
  if (trial.phase === 'reviewing') await bench.handlers.keepTrial({ trialId: trial.trialId });
  bench.feed(0, 1.2);
  return trial.trialId;
}

export const coded = (code: string): unknown => expect.objectContaining({ code });

/** Some requests are refused at once, others a little later; a test need not know which. */
export const atOnce = async (work: () => unknown): Promise<unknown> => work();
