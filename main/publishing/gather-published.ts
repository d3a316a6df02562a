import { assertNever } from '../../shared-lib/assert-never.ts';
import type { Subject } from '../../shared-lib/publishing/publishing-model.ts';
import type { ShareTools } from '../share-tools.ts';
import { createTableReader } from '../standings/read-table.ts';
import { tableWithRanges } from '../standings/table-with-ranges.ts';
import { getEdition } from '../storage/edition-repository.ts';

export interface PublishedEntry {
  /** Below `published/` of the package. */
  readonly fileName: string;
  readonly json: string;
}

/** What a data package carries as it was shown: a comparison, standings or an edition, whole. Errors: those of what it is. */
export type PublishedGatherer = (subject: Subject) => Promise<PublishedEntry[]>;

type Tools = Pick<ShareTools, 'database' | 'shown'> & {
  readonly platform: Pick<ShareTools['platform'], 'clock'>;
};

export function createPublishedGatherer({ database, shown, platform }: Tools): PublishedGatherer {
  const tables = createTableReader({ database, clock: platform.clock });

  return async (subject) => {
    switch (subject.kind) {
      case 'comparison': {
        const { asked } = subject;
        const { result: comparison } = await shown.compare(asked);
        return comparison === null ? [] : [entry('comparison.json', { asked, comparison })];
      }
      case 'standings': {
        const { standings, placeRanges, input } = await tableWithRanges(tables, shown, subject.tableId);
        return [entry('standings.json', { standings, placeRanges, input })];
      }
      case 'edition':
        return [entry('edition.json', getEdition(database, subject.editionId))];
      case 'trial':
      case 'session':
      case 'calibration':
      case 'everything':
        // Their figures follow from the trials themselves, which the package has whole.
        return [];
      default:
        return assertNever(subject, 'A subject of which nothing is gathered');
    }
  };
}

function entry(fileName: string, content: unknown): PublishedEntry {
  return { fileName, json: `${JSON.stringify(content, null, 1)}\n` };
}
