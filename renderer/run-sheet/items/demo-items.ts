import { simulatedToolNames } from '../../../shared-lib/simulation/simulated-tool.ts';
import type { BenchItem } from './use-bench-items.ts';

/** Declared vibrations of the invented tools, so that the exposure of a day can be seen; invented like the rest. */
const vibrationsMps2 = [11, 13.5, 8.5, 17];

/** The invented tools that the simulated bench can pull, each with a pack and a setup of its own. */
export function demoItems(newId: () => string): BenchItem[] {
  const socket = { name: 'Impact socket 24 mm (demo)', massKg: 0.3, lengthM: 0.05 };
  return simulatedToolNames.flatMap((name, index): BenchItem[] => {
    const toolId = newId();
    const packId = newId();
    return [
      {
        kind: 'tool',
        tool: {
          id: toolId,
          name: `${name} (demo)`,
          supply: 'battery',
          declaredVibrationMps2: vibrationsMps2[index] ?? null,
          declaredNoiseDbA: null,
          isArchived: false,
        },
      },
      {
        kind: 'pack',
        pack: {
          id: packId,
          name: `Pack ${index + 1} (demo)`,
          nominalV: 18,
          capacityAh: 5,
          isArchived: false,
        },
      },
      {
        kind: 'setup',
        setup: { id: newId(), toolId, packId, setting: '', socket, isArchived: false },
      },
    ];
  });
}
