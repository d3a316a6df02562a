import type { Settings } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { checkScheme, type SchemeContext } from '../../shared-lib/standings/check-scheme.ts';
import { schemeContextOf } from '../../shared-lib/standings/scheme-context.ts';
import type { SchemeDraft, SchemeFinding, SchemeVersion } from '../../shared-lib/standings/scheme-model.ts';
import type { StandingsTable } from '../../shared-lib/standings/standings-model.ts';
import { createContenderLookup } from '../storage/contender-repository.ts';
import { foldForSearch } from '../storage/search-folding.ts';
import { listArchivedSchemeIds } from '../storage/scheme-repository.ts';
import { loadSettings } from '../storage/settings-repository.ts';
import { getStandingsTable } from '../storage/standings-table-repository.ts';
import type { TableReader } from './read-table.ts';
import { DRAFT_ID, listNewestSchemes } from './schemes.ts';
import type { StandingsTools } from './standings-tools.ts';

export interface DraftToCheck {
  readonly draft: SchemeDraft;
  /** Null: a new scheme. */
  readonly schemeId: string | null;
  /** Null: it is held against everybody. */
  readonly tableId: string | null;
}

/** What speaks against a draft, held against those who would be ranked by it. Errors: AppError 'standings-not-found'. */
export function findingsOf(
  { database, reader }: Pick<StandingsTools, 'database'> & { readonly reader: TableReader },
  { draft, schemeId, tableId }: DraftToCheck,
): SchemeFinding[] {
  const schemes = listNewestSchemes(database);
  const others = schemes.filter((scheme) => scheme.schemeId !== schemeId);
  const version: SchemeVersion = {
    ...draft,
    schemeId: schemeId ?? DRAFT_ID,
    version: 1,
    operator: '',
    createdAt: '',
  };
  const tables =
    tableId === null
      ? [false, true].map((isSimulated) => everybody(loadSettings(database), isSimulated))
      : [getStandingsTable(database, tableId)];
  const contenders = createContenderLookup(database);
  const contexts = tables.map((table) =>
    schemeContextOf(reader.inputUnder(table, version), (key) => contenders.currentKeyOf(key)),
  );
  return [
    ...nameFindings(draft, others, new Set(listArchivedSchemeIds(database))),
    ...checkScheme(draft, schemeId, others, together(contexts)),
  ];
}

/** Of several tables as if all were in one. */
function together(contexts: readonly SchemeContext[]): SchemeContext {
  const sumOf = (count: (context: SchemeContext) => number): number =>
    contexts.reduce((sum, context) => sum + count(context), 0);
  return {
    contenderCount: sumOf(({ contenderCount }) => contenderCount),
    hasValue: (measure) => sumOf((context) => context.hasValue(measure)),
    findReference(key, measure) {
      const found = contexts.map((context) => context.findReference?.(key, measure) ?? 'notInTable');
      if (found.includes('hasValue')) return 'hasValue';
      return found.includes('noValue') ? 'noValue' : 'notInTable';
    },
  };
}

/** Whom a scheme is held against that belongs to no table yet. */
function everybody(
  { qualityGate, currency }: Pick<Settings, 'qualityGate' | 'currency'>,
  isSimulated: boolean,
): StandingsTable {
  return {
    id: 'everybody',
    name: 'Everybody',
    schemeId: DRAFT_ID,
    toolClasses: [],
    driveSizes: [],
    supplies: [],
    isSimulated,
    gate: qualityGate,
    currency,
    isArchived: false,
  };
}

/** Errors: AppError 'scheme-invalid' with every sentence that says stop. */
export function refuseStopped(findings: readonly SchemeFinding[], whatWasNot: string): void {
  const stops = findings.flatMap(({ severity, sentence }) => (severity === 'stop' ? [sentence] : []));
  if (stops.length > 0) throw new AppError('scheme-invalid', `${whatWasNot} ${stops.join(' ')}`);
}

function nameFindings(
  { name }: SchemeDraft,
  others: readonly SchemeVersion[],
  archivedIds: ReadonlySet<string>,
): SchemeFinding[] {
  const folded = foldForSearch(name);
  const twin = others.find(
    (other) => !archivedIds.has(other.schemeId) && foldForSearch(other.name) === folded,
  );
  if (twin === undefined) return [];
  return [
    {
      severity: 'stop',
      termId: null,
      sentence: `There is a scheme "${twin.name}" already. Give this one a name of its own.`,
    },
  ];
}
