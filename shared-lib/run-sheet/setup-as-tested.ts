import type { Pack, Setup, SetupAsTested, Tool } from './setup-model.ts';

export interface BenchItems {
  readonly tools: readonly Tool[];
  readonly packs: readonly Pack[];
  readonly setups: readonly Setup[];
}

/** The copy of a setup that goes into run sheets and trials; null: its tool, or the pack it names, is not there. */
export function setupAsTested(setup: Setup, { tools, packs }: BenchItems): SetupAsTested | null {
  const tool = tools.find(({ id }) => id === setup.toolId);
  const pack = setup.packId === null ? null : packs.find(({ id }) => id === setup.packId);
  if (tool === undefined || pack === undefined) return null;
  return {
    setupId: setup.id,
    toolId: tool.id,
    toolName: tool.name,
    supply: tool.supply,
    declaredVibrationMps2: tool.declaredVibrationMps2,
    declaredNoiseDbA: tool.declaredNoiseDbA,
    packId: pack?.id ?? null,
    packName: pack?.name ?? null,
    packCapacityAh: pack?.capacityAh ?? null,
    setting: setup.setting,
    socket: setup.socket,
  };
}
