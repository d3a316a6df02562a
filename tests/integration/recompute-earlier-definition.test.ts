import { beforeAll, describe, expect, it } from 'vitest';
import { getTrial, saveEvaluation } from '../../main/storage/trial-repository.ts';
import { DEFINITION_VERSION } from '../../shared-lib/trial/definition-version.ts';
import type { TrialFigures } from '../../shared-lib/trial/trial-model.ts';
import { differences, type PackageInMemory } from './recompute-support/package-in-memory.ts';
import { makeSmallPackage } from './recompute-support/small-package.ts';
import { trialIds } from './recompute-support/small-workshop.ts';

/** Definitions 2 have the measures of today, and judged the quality by other rules. */
const EARLIER = 2;
const at = '2026-03-26T10:00:00.000Z';

/** A package whose counted trials were measured last by definitions 2, with a reason that nobody would find today. */
async function packageOfBefore(change: (figures: TrialFigures) => TrialFigures): Promise<PackageInMemory> {
  const { files } = await makeSmallPackage({
    prepare(database) {
      for (const id of trialIds(database, 'counted')) {
        const { figures } = getTrial(database, id);
        if (figures !== null) saveEvaluation(database, id, change(figures), at);
      }
      return Promise.resolve();
    },
  });
  return files;
}

const judgedThen = (figures: TrialFigures): TrialFigures => ({
  ...figures,
  definitionVersion: EARLIER,
  quality: {
    verdict: 'look',
    reasons: [{ code: 'stuck', severity: 'look', sentence: 'It stood still while it rested.' }],
  },
});

describe('a package of an earlier definition', () => {
  let whole: PackageInMemory;
  beforeAll(async () => {
    whole = await packageOfBefore(judgedThen);
  });

  it('agrees in all its measures, keeps the verdicts of then, and says that these were not held against', async () => {
    const report = await whole.recompute();
    expect(differences(report)).toEqual([]);
    const notes = report.findings.filter(({ what }) => what.includes(`judged by definition ${EARLIER}`));
    expect(notes.length).toBeGreaterThan(2);
    expect(notes[0]?.what).toContain(`this program judges by ${DEFINITION_VERSION}`);
  });

  it('is caught with a measure that does not follow from the counts', async () => {
    const files = await packageOfBefore((figures) => ({
      ...judgedThen(figures),
      finalTorqueNm: { value: 999 },
    }));
    expect(differences(await files.recompute()).join('\n')).toMatch(
      /final torque, value: the package says 999/,
    );
  });

  it('is not computed again where its measures were other ones, which is said too', async () => {
    const files = await packageOfBefore((figures) => ({
      ...figures,
      definitionVersion: 1,
      finalTorqueNm: { value: 999 },
    }));
    const report = await files.recompute();
    expect(differences(report).filter((difference) => difference.includes('final torque'))).toEqual([]);
    expect(report.findings.some(({ what }) => what.includes('they were not computed again'))).toBe(true);
  });
});
