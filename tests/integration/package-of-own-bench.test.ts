import { afterEach, describe, expect, it } from 'vitest';
import { getCalibration, insertCalibration } from '../../main/storage/calibration-repository.ts';
import { endSession, getSessionSummary } from '../../main/storage/session-repository.ts';
import { everyRow } from './package-support/every-row.ts';
import { createPackageBench, type PackageBench } from './package-support/package-bench.ts';
import {
  partsOf,
  resealed,
  smallBench,
  textOf,
  withText,
  writeParts,
} from './package-support/package-parts.ts';
import { at, calibration, sessionId } from './storage-support/bench-fixture.ts';

const benches: PackageBench[] = [];
const listOfImports = ['import'];

afterEach(() => {
  for (const bench of benches.splice(0)) bench.remove();
});

/** `sameBench`: after it lost everything. */
async function ownBench(): Promise<{ maker: PackageBench; sameBench: PackageBench; file: string }> {
  const maker = await smallBench();
  const sameBench = createPackageBench(maker.bench);
  benches.push(maker, sameBench);
  return { maker, sameBench, file: await maker.write('first.zip') };
}

/** As somebody would write it who has one of its packages and knows how they are made. */
function forged(file: string, folder: string): string {
  const parts = partsOf(file);
  const [, first = ''] = textOf(parts, 'data/trial_evaluation.csv').split('\r\n');
  const evaluation = first.replace(/^1,/, '3,').replace('321.5', '999');
  let more = withText(parts, 'data/trial_evaluation.csv', (text) => `${text}${evaluation}\r\n`);
  more = withText(
    more,
    'data/trial_decision.csv',
    (text) => `${text}3,trial-2,voided,It slipped,1,Somebody,${at},\r\n`,
  );
  more = withText(more, 'data/trial.csv', (text) => text.replace(/(trial-2,.*?,kept),0,/, '$1,1,'));
  return writeParts(folder, 'forged.zip', resealed(more));
}

describe('a package that says that it comes from this very bench', () => {
  it('adds nothing to what is here, and says so', async () => {
    const { maker, file } = await ownBench();
    const before = everyRow(maker.database, listOfImports);
    const changed = forged(file, maker.folder);
    const preview = await maker.preview(changed);
    expect(preview).toMatchObject({ isOwnBench: true, newEntries: [], added: [], conflicts: [] });
    expect(preview.remarks).toContainEqual(
      expect.stringMatching(
        /very bench.*says more about 2 entries than is here; that is not taken in.*backup/,
      ),
    );
    expect((await maker.takeIn(changed)).sentence).toBe(
      'Nothing new. 2 trials of the package were here already. What it says besides about 2 entries that were here was not taken in.',
    );
    expect(everyRow(maker.database, listOfImports)).toBe(before);
  });

  it('adds nothing either to what came back in one before', async () => {
    const { file, sameBench } = await ownBench();
    const { remarks } = await sameBench.preview(file);
    expect(remarks.join(' ')).toContain(
      '2 trials that are not here are said to have been pulled on this bench',
    );
    expect((await sameBench.takeIn(file)).sentence).toBe('2 trials taken in.');
    const before = everyRow(sameBench.database, listOfImports);
    await sameBench.takeIn(forged(file, sameBench.folder));
    expect(everyRow(sameBench.database, listOfImports)).toBe(before);
  });

  it('ends no session of it and supersedes no calibration', async () => {
    const { maker, file, sameBench } = await ownBench();
    await sameBench.takeIn(file);
    insertCalibration(maker.database, calibration({ id: 'calibration-2' }), { reason: 'Measured anew.' });
    endSession(maker.database, sessionId, at);
    await sameBench.takeIn(await maker.write('later.zip'));
    expect(getSessionSummary(sameBench.database, sessionId).endedAt).toBeNull();
    expect(getCalibration(sameBench.database, 'calibration-1').supersededAt).toBeNull();
  });
});
