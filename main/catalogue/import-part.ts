import { randomUUID } from 'node:crypto';
import { AppError } from '../../shared-lib/app-error.ts';
import { type ImportPlan, planImport } from '../../shared-lib/catalogue/plan-import.ts';
import { type CatalogueTable, readCatalogueTable } from '../../shared-lib/catalogue/read-catalogue-table.ts';
import { writeCatalogueTable } from '../../shared-lib/catalogue/write-catalogue-table.ts';
import { localDay } from '../platform/local-day.ts';
import type { RequestHandlers } from '../services.ts';
import { writing } from '../storage/database.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { saveToolVersion } from '../storage/tool-details-repository.ts';
import { byNow, type CatalogueTools } from './catalogue-tools.ts';
import { listCatalogue } from './read-catalogue.ts';
import { readCsv } from './read-csv.ts';

/** The catalogue as a file that a spreadsheet can edit, and back. */
export function createImportPart(tools: CatalogueTools): {
  readonly handlers: Pick<RequestHandlers, 'exportCatalogue' | 'previewCatalogueImport' | 'importCatalogue'>;
} {
  const { database, clock, emit } = tools;
  const plan = (csv: string): ImportPlan => planImport(readTable(csv), listCatalogue(database), randomUUID);

  return {
    handlers: {
      exportCatalogue: () => ({
        csv: writeCatalogueTable(listCatalogue(database)),
        fileName: `tools-${localDay(clock.now())}.csv`,
      }),
      previewCatalogueImport({ csv }) {
        const { rows } = plan(csv);
        return { rows, refusedCount: rows.filter(({ outcome }) => outcome === 'refused').length };
      },
      importCatalogue: ({ csv }) =>
        retryWhenLocked(() => {
          const by = byNow(tools);
          const { newCount, changedCount } = writing(database, () => {
            const planned = plan(csv);
            refuseUnlessWhole(planned);
            for (const entry of planned.entries) saveToolVersion(database, entry, by);
            return planned;
          });
          if (newCount + changedCount > 0) {
            emit('runSheetsChanged', {});
            emit('catalogueChanged', {});
          }
          return { newCount, changedCount };
        }),
    },
  };
}

function readTable(csv: string): CatalogueTable {
  const read = readCsv(csv);
  return 'problem' in read ? { tools: [], problems: [read] } : readCatalogueTable(read.rows);
}

/** Errors: AppError 'import-refused', with the first reasons. */
function refuseUnlessWhole({ rows }: ImportPlan): void {
  const refused = rows.filter(({ outcome }) => outcome === 'refused');
  if (refused.length === 0) return;
  const reasons = refused.flatMap(({ remarks }) => remarks);
  const shown = reasons.slice(0, 5).join(' ');
  const more = reasons.length > 5 ? ` And ${reasons.length - 5} more reasons.` : '';
  throw new AppError(
    'import-refused',
    `Nothing was taken over, since a part of the file cannot be. ${shown}${more} Put it right in the file and choose it again.`,
    { refusedCount: refused.length },
  );
}
