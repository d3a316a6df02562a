import { createCheckPart } from './check-part.ts';
import type { CalibrationTools } from './calibration-tools.ts';
import { createRingingPart } from './ringing-part.ts';
import { createRunPart } from './run-part.ts';
import { createSimulatedCheckPart } from './simulated-check-part.ts';
import { createStandardsPart } from './standards-part.ts';
import { createVersionPart } from './version-part.ts';

/** All that has to do with calibrating, as one part of the program. */
export function createCalibrationParts(tools: CalibrationTools) {
  const run = createRunPart(tools);
  const parts = [
    createStandardsPart(tools),
    run,
    createVersionPart(tools),
    createCheckPart(tools),
    createRingingPart(tools),
    createSimulatedCheckPart(tools),
  ] as const;
  return {
    handlers: {
      ...parts[0].handlers,
      ...parts[1].handlers,
      ...parts[2].handlers,
      ...parts[3].handlers,
      ...parts[4].handlers,
      ...parts[5].handlers,
    },
    receive: (samples: Parameters<typeof run.receive>[0]) => {
      for (const part of parts) part.receive(samples);
    },
    amplifierLost: () => {
      for (const part of parts) part.amplifierLost();
    },
    tick: () => {
      for (const part of parts) part.tick();
    },
    close: () => {
      for (const part of parts) part.close();
    },
  };
}
