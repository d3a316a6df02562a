import { join } from 'node:path';
import type { Quality } from '../../shared-lib/trial/trial-model.ts';
import { armFedBench, confirmFedSense, startFedBench } from './bench-with-fed-reader.ts';

export interface UndecidedTrials {
  /** Its torque fell away early, so that it waits for a decision. */
  readonly endedEarly: { readonly trialId: string; readonly shownQuality: Quality };
  /** Stopped in mid-run. */
  readonly cutOffId: string;
}

/** A data folder as a program leaves it that was closed before anybody had decided about two trials. */
export async function leaveTrialsUndecided(dataFolder: string): Promise<UndecidedTrials> {
  const bench = await startFedBench({ plannedS: 2 });
  try {
    await confirmFedSense(bench);
    await armFedBench(bench);
    bench.feed(200, 1);
    await bench.handlers.stopTrial({});
    const { trialId: cutOffId } = await bench.untilPhase('interrupted');
    bench.feed(0, 2);
    await armFedBench(bench);
    bench.feed(200, 1);
    bench.feed(0, 3.5);
    const { trialId, quality } = await bench.untilPhase('reviewing');
    bench.database.prepare('VACUUM INTO ?').run(join(dataFolder, 'proofarm.db'));
    return { endedEarly: { trialId, shownQuality: quality }, cutOffId };
  } finally {
    await bench.close();
  }
}
