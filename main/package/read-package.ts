import type { PackagePreview } from '../../shared-lib/exchange/exchange-requests.ts';
import type { Work } from '../work/work-tools.ts';

export interface PackageReading {
  readonly databasePath: string;
  readonly file: string;
}

/** Looks a package through and holds it against the database; changes nothing. */
export const previewPackage: Work<PackageReading, PackagePreview> = () => {
  throw new Error('Not built yet');
};
