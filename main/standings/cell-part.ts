import type { RequestResult } from '../../shared-lib/api-contract.ts';
import { describeCell } from '../../shared-lib/standings/describe-cell.ts';
import { measureKeyOf, measuresOfSchemes } from '../../shared-lib/standings/measure-keys.ts';
import type { Term } from '../../shared-lib/standings/scheme-model.ts';
import type { StandingsInput } from '../../shared-lib/standings/standings-model.ts';
import type { RequestHandlers } from '../services.ts';
import { getEdition } from '../storage/edition-repository.ts';
import type { TableReader, TableState } from './read-table.ts';
import { withReferences } from './schemes.ts';
import type { StandingsTools } from './standings-tools.ts';

/** What is behind a cell, down to the trials that can be opened. */
export function createCellPart(
  { database }: Pick<StandingsTools, 'database'>,
  reader: TableReader,
): { readonly handlers: Pick<RequestHandlers, 'getStandingsCell'> } {
  return {
    handlers: {
      getStandingsCell({ tableId, editionId, key, termId }) {
        const state = editionId === null ? reader.stateOf(tableId) : getEdition(database, editionId);
        return cellOf(state, key, termId);
      },
    },
  };
}

/** Errors: those of `describeCell`. */
function cellOf(
  { input, standings }: TableState,
  key: string,
  termId: string,
): RequestResult<'getStandingsCell'> {
  const described = describeCell(input, standings, key, termId);
  const term = standings.scheme.terms.find(({ id }) => id === termId);
  return { ...described, trials: term === undefined ? [] : trialsBehind(input, key, term) };
}

/**
 * In the order in which they were pulled. Behind the total of another scheme may be several measures: its trials have a value
 * here only where it is one.
 */
function trialsBehind(
  input: StandingsInput,
  key: string,
  term: Term,
): RequestResult<'getStandingsCell'>['trials'] {
  const measures = new Set(measuresBehind(input, term).map((measure) => input.measures.indexOf(measure)));
  const labels = new Map(input.calibrations.map(({ calibrationId, label }) => [calibrationId, label]));
  return input.trials
    .filter((trial) => trial.key === key)
    .flatMap(({ trialId, startedAt, calibrationId, leftOutBecause, values }) => {
      const ofTerm = values.filter(({ measure }) => measures.has(measure));
      if (ofTerm.length === 0) return [];
      const value = measures.size === 1 ? (ofTerm[0]?.value ?? null) : null;
      return { trialId, startedAt, value, calibrationLabel: labels.get(calibrationId) ?? '', leftOutBecause };
    });
}

function measuresBehind({ schemes }: StandingsInput, { measure }: Term): string[] {
  if (measure.of !== 'scheme') return [measureKeyOf(measure)].filter((key) => key !== null);
  const referred = schemes.find(({ schemeId }) => schemeId === measure.schemeId);
  return referred === undefined ? [] : measuresOfSchemes(withReferences(referred, schemes));
}
