import { assertNever } from '../../shared-lib/assert-never.ts';
import { COMPARING } from '../../shared-lib/comparison/compare-chosen.ts';
import type { Comparison } from '../../shared-lib/comparison/comparison-model.ts';
import type { ComparedStep } from '../../shared-lib/comparison/trial-measure.ts';
import type { StandingsInput } from '../../shared-lib/standings/standings-model.ts';
import type { Subject } from '../../shared-lib/publishing/publishing-model.ts';
import type { ShareTools } from '../share-tools.ts';
import { createTableReader } from '../standings/read-table.ts';
import { tableWithRanges } from '../standings/table-with-ranges.ts';
import { createContenderLookup } from '../storage/contender-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { getEdition } from '../storage/edition-repository.ts';
import { listScores } from '../storage/scored-trials.ts';

export interface PublishedEntry {
  /** Below `published/` of the package. */
  readonly fileName: string;
  readonly json: string;
}

/** What a data package carries as it was shown, and what these figures rest on beside the trials that they name. */
export interface Published {
  readonly entries: readonly PublishedEntry[];
  readonly trialIds: readonly string[];
  readonly toolIds: readonly string[];
}

/** A comparison, standings or an edition, whole; nothing for all else. Errors: those of what it is. */
export type PublishedGatherer = (subject: Subject) => Promise<Published>;

// Their figures follow from the trials themselves, which the package has whole.
const nothing: Published = { entries: [], trialIds: [], toolIds: [] };

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
        if (comparison === null) return nothing;
        return {
          entries: [entry('comparison.json', { asked, comparison, comparing: COMPARING })],
          trialIds: restsOnDays(comparison) ? trialsOfStep(database, asked.step) : [],
          toolIds: [],
        };
      }
      case 'standings': {
        const { standings, placeRanges, input } = await tableWithRanges(tables, shown, subject.tableId);
        return {
          entries: [entry('standings.json', { standings, placeRanges, input })],
          trialIds: [],
          toolIds: toolsOf(input),
        };
      }
      case 'edition': {
        const edition = getEdition(database, subject.editionId);
        return { entries: [entry('edition.json', edition)], trialIds: [], toolIds: toolsOf(edition.input) };
      }
      case 'trial':
      case 'session':
      case 'calibration':
      case 'everything':
        return nothing;
      default:
        return assertNever(subject, 'A subject of which nothing is gathered');
    }
  };
}

function restsOnDays({ dayToDay, checkpoints }: Comparison): boolean {
  return dayToDay !== null || checkpoints.some((checkpoint) => checkpoint.dayToDay !== undefined);
}

/** How much setups move from day to day follows from all of them, those of other tools too. */
function trialsOfStep(database: ReadableDatabase, step: ComparedStep): string[] {
  return listScores(database, createContenderLookup(database), { steps: [step], measures: [] }).map(
    ({ trialId }) => trialId,
  );
}

/** Those that were never pulled too: what is entered of them is in the table. */
function toolsOf({ subjects }: StandingsInput): string[] {
  return subjects.flatMap(({ contender }) => contender.toolId ?? []);
}

function entry(fileName: string, content: unknown): PublishedEntry {
  return { fileName, json: `${JSON.stringify(content, null, 1)}\n` };
}
