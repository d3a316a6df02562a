import type { PackagePreview } from '../../shared-lib/exchange/exchange-requests.ts';
import type { Work } from '../work/work-tools.ts';
import { comparePackage, compareSamples } from './compare-package.ts';
import { planOf, type RowComparison } from './compare-rows.ts';
import { openSnapshot } from '../storage/open-read-only.ts';
import { stagePackage } from './stage-package.ts';

export interface PackageReading {
  readonly databasePath: string;
  readonly file: string;
}

/**
 * Looks a package through and holds it against the database; changes nothing.
 *
 * Errors: AppError 'package-invalid' naming file and line; 'disk-full'; 'cancelled'.
 */
export const previewPackage: Work<PackageReading, PackagePreview> = async (work, tools) => {
  const { databasePath, file } = work;
  const read = await stagePackage({ file, databasePath, keepsSamplesOf: () => false }, tools);
  try {
    const here = openSnapshot(databasePath);
    try {
      const compared = comparePackage(read, here);
      const conflicts = [...compared.conflicts, ...(await compareSamples(read, here, compared, tools))];
      return {
        manifest: read.manifest,
        fingerprint: read.fingerprint,
        trials: countsOf(compared, 'trial'),
        tools: countsOf(compared, 'tool'),
        calibrations: countsOf(compared, 'calibration'),
        isOwnBench: compared.isOwnBench,
        newEntries: [...compared.newEntries],
        added: [...compared.added],
        conflicts,
        remarks: [...compared.remarks],
      };
    } finally {
      here.close();
    }
  } finally {
    read.remove();
  }
};

function countsOf(compared: RowComparison, table: string): { newCount: number; knownCount: number } {
  const { newKeys, knownKeys } = planOf(compared, table);
  return { newCount: newKeys.size, knownCount: knownKeys.size };
}
