import type { Settings } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { checkScheme } from '../../shared-lib/standings/check-scheme.ts';
import { measureKeyOf } from '../../shared-lib/standings/measure-keys.ts';
import type {
  SchemeDraft,
  SchemeFinding,
  SchemeVersion,
  TermMeasure,
  ToolProperty,
} from '../../shared-lib/standings/scheme-model.ts';
import type {
  StandingsInput,
  StandingsSubject,
  StandingsTable,
} from '../../shared-lib/standings/standings-model.ts';
import { foldForSearch } from '../storage/search-folding.ts';
import { listArchivedSchemeIds } from '../storage/scheme-repository.ts';
import { loadSettings } from '../storage/settings-repository.ts';
import { getStandingsTable } from '../storage/standings-table-repository.ts';
import type { TableReader } from './read-table.ts';
import { listNewestSchemes } from './schemes.ts';
import type { StandingsTools } from './standings-tools.ts';

/** What a draft is called as long as it has no id of its own; no stored scheme has it. */
const DRAFT_ID = 'draft';

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
  const fields = tables.map((table) => fieldOf(reader.inputUnder(table, version)));
  const sumOf = (count: (field: FieldOfDraft) => number): number =>
    fields.reduce((sum, field) => sum + count(field), 0);
  return [
    ...nameFindings(draft, others, new Set(listArchivedSchemeIds(database))),
    ...checkScheme(draft, schemeId, others, {
      contenderCount: sumOf(({ rankable }) => rankable.size),
      hasValue: (measure) =>
        sumOf(({ rankable, havingAny }) => [...havingAny(measure)].filter((key) => rankable.has(key)).length),
      findReference(key, measure) {
        if (fields.some(({ havingAny }) => havingAny(measure).has(key))) return 'hasValue';
        return fields.some(({ all }) => all.has(key)) ? 'noValue' : 'notInTable';
      },
    }),
  ];
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

interface FieldOfDraft {
  /** Keys of everybody, and of those who can be ranked. */
  readonly all: ReadonlySet<string>;
  readonly rankable: ReadonlySet<string>;
  /** Keys of those with a value; of a scheme, with one for any of its terms. */
  readonly havingAny: (measure: TermMeasure) => ReadonlySet<string>;
}

function fieldOf(input: StandingsInput): FieldOfDraft {
  const placeOf = new Map(input.measures.map((key, place) => [key, place]));
  const valued = input.measures.map(() => new Set<string>());
  for (const { key, values, leftOutBecause } of input.trials) {
    if (leftOutBecause !== null) continue;
    for (const { measure, value } of values) if (value !== null && value > 0) valued[measure]?.add(key);
  }
  const propertyOf = (property: ToolProperty): Set<string> =>
    new Set(
      input.subjects
        .filter(({ properties }) =>
          properties.some((known) => known.property === property && known.value !== null),
        )
        .map(({ contender }) => contender.key),
    );
  const termsOf = new Map(input.schemes.map(({ schemeId, terms }) => [schemeId, terms]));

  const havingAny = (measure: TermMeasure, seen: ReadonlySet<string>): ReadonlySet<string> => {
    if (measure.of === 'scheme') {
      // A circle of references is told by another finding.
      if (seen.has(measure.schemeId)) return new Set();
      const within = new Set([...seen, measure.schemeId]);
      return new Set(
        (termsOf.get(measure.schemeId) ?? []).flatMap((term) => [...havingAny(term.measure, within)]),
      );
    }
    if (measure.of === 'tool') return propertyOf(measure.property);
    const tested = valued[placeOf.get(measureKeyOf(measure) ?? '') ?? -1] ?? new Set<string>();
    if (measure.of === 'trial') return tested;
    const known = propertyOf(measure.per);
    return new Set([...tested].filter((key) => known.has(key)));
  };

  const keysOf = (subjects: readonly StandingsSubject[]): ReadonlySet<string> =>
    new Set(subjects.map(({ contender }) => contender.key));
  return {
    all: keysOf(input.subjects),
    rankable: keysOf(input.subjects.filter(({ notRankedBecause }) => notRankedBecause === null)),
    havingAny: (measure) => havingAny(measure, new Set()),
  };
}
