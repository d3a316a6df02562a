import { AppError } from '../../shared-lib/app-error.ts';
import { assertNever } from '../../shared-lib/assert-never.ts';
import type { Subject } from '../../shared-lib/publishing/publishing-model.ts';
import type { ShareTools } from '../share-tools.ts';
import { createTableReader, type TableState } from '../standings/read-table.ts';
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

/** The draws of a table take a second or two, and more than one change meanwhile is a bench at work. */
const MOST_TRIES = 3;

export function createPublishedGatherer({ database, shown, platform }: Tools): PublishedGatherer {
  const tables = createTableReader({ database, clock: platform.clock });

  /** Standings with the ranges of exactly these: both are asked for until nothing changed in between. */
  const tableWithRanges = async (tableId: string) => {
    for (let tries = 0; tries < MOST_TRIES; tries += 1) {
      const state = tables.stateOf(tableId);
      const placeRanges = await shown.getPlaceRanges({ tableId });
      if (isSame(state, tables.stateOf(tableId))) {
        return { standings: state.standings, placeRanges, input: state.input };
      }
    }
    throw new AppError(
      'invalid-state',
      'The standings changed again and again while their ranges were drawn, so nothing was made. Nothing was changed. Make it again when no trial is being pulled.',
      { tableId },
    );
  };

  return async (subject) => {
    switch (subject.kind) {
      case 'comparison': {
        const { asked } = subject;
        const { result: comparison } = await shown.compare(asked);
        return comparison === null ? [] : [entry('comparison.json', { asked, comparison })];
      }
      case 'standings':
        return [entry('standings.json', await tableWithRanges(subject.tableId))];
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

function isSame(before: TableState, after: TableState): boolean {
  return JSON.stringify(before.input) === JSON.stringify(after.input);
}

function entry(fileName: string, content: unknown): PublishedEntry {
  return { fileName, json: `${JSON.stringify(content, null, 1)}\n` };
}
