import type { CatalogueTool, ExchangeRate, ToolClass } from '../../shared-lib/catalogue/catalogue-model.ts';
import { driveSizeWords, toolClassWords } from '../../shared-lib/catalogue/catalogue-words.ts';
import { propertiesOf } from '../../shared-lib/catalogue/tool-properties.ts';
import type { Contender } from '../../shared-lib/comparison/comparison-model.ts';
import type { ToolProperty } from '../../shared-lib/standings/scheme-model.ts';
import type { StandingsSubject, StandingsTable } from '../../shared-lib/standings/standings-model.ts';
import { listCatalogue } from '../catalogue/read-catalogue.ts';
import type { ContenderLookup } from '../storage/contender-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { type StoredScore, toolNameAsWritten } from '../storage/scored-trials.ts';
import { foldForSearch } from '../storage/search-folding.ts';

export interface SubjectQuestion {
  readonly table: StandingsTable;
  readonly contenders: ContenderLookup;
  /** Of the steps that the scheme asks for. */
  readonly scores: readonly StoredScore[];
  /** What the scheme asks of a tool beside its trials. */
  readonly properties: ReadonlySet<ToolProperty>;
  readonly rates: readonly ExchangeRate[];
  /** ISO day. */
  readonly on: string;
}

/**
 * Whom a table takes in, by label: those with trials of the steps, and tools of the list without any. What is not known of a
 * tool leaves it in, not ranked, where the table asks for it; what is known to be another leaves it out.
 */
export function gatherSubjects(database: ReadableDatabase, question: SubjectQuestion): StandingsSubject[] {
  const { table, contenders, scores } = question;
  const catalogue = listCatalogue(database);
  const toolById = new Map(catalogue.map((entry) => [entry.tool.id, entry]));
  const classes = classesOf(catalogue, contenders);
  const subjectOf = (contender: Contender, otherwise: string | null): StandingsSubject | null => {
    const entry = contender.toolId === null ? undefined : toolById.get(contender.toolId);
    if (entry === undefined) return notOfTheList(contender);
    if (isOutside(table, entry)) return null;
    const { toolClass, driveSize } = entry.details;
    return {
      contender,
      toolClass,
      driveSize,
      supply: entry.tool.supply,
      properties: propertiesAsked(entry, question),
      notRankedBecause: inTwoClasses(classes.get(entry.tool.id)) ?? notKnown(table, entry) ?? otherwise,
    };
  };

  const newest = new Map(scores.map((score) => [score.key, score]));
  const tested = [...newest].map(([key, { trialId }]) =>
    contenders.contenderOf(
      key,
      key.startsWith('name:') ? toolNameAsWritten(database, trialId) : '',
      table.isSimulated,
    ),
  );
  const testedToolIds = new Set(tested.map(({ toolId }) => toolId));
  const others = catalogue.filter(
    ({ tool, mergedIntoToolId }) =>
      mergedIntoToolId === null && !tool.isArchived && !testedToolIds.has(tool.id),
  );
  const wasTested = others.some(({ trialCount }) => trialCount > 0)
    ? testedTools(database, contenders, table.isSimulated)
    : new Set<string>();
  return [
    ...tested.map((contender) => subjectOf(contender, null)),
    ...others.map(({ tool: { id, name } }) =>
      subjectOf(
        {
          key: `name:${foldForSearch(name)}`,
          label: name,
          toolName: name,
          toolId: id,
          setup: null,
          isSimulated: table.isSimulated,
        },
        wasTested.has(id) ? null : neverTested(table),
      ),
    ),
  ]
    .filter((subject) => subject !== null)
    .sort((a, b) => byText(a.contender.label, b.contender.label) || byText(a.contender.key, b.contender.key));
}

/** By code units: the same order on every computer, so that the same state has the same fingerprint. */
function byText(a: string, b: string): number {
  return a < b ? -1 : Number(a > b);
}

function propertiesAsked(
  entry: CatalogueTool,
  { table, properties, rates, on }: SubjectQuestion,
): StandingsSubject['properties'] {
  if (properties.size === 0) return [];
  return propertiesOf(entry, { currency: table.currency, rates, on }).filter(({ property }) =>
    properties.has(property),
  );
}

function isOutside({ toolClasses, driveSizes, supplies }: StandingsTable, entry: CatalogueTool): boolean {
  const { toolClass, driveSize } = entry.details;
  return (
    isOther(toolClasses, toolClass) || isOther(driveSizes, driveSize) || isOther(supplies, entry.tool.supply)
  );
}

function isOther<Value>(wanted: readonly Value[], value: Value | null): boolean {
  return wanted.length > 0 && value !== null && !wanted.includes(value);
}

function notOfTheList(contender: Contender): StandingsSubject {
  return {
    contender,
    toolClass: null,
    driveSize: null,
    supply: null,
    properties: [],
    notRankedBecause: `No tool of the list is called "${contender.toolName}". Add it in Tools, or put right in the Logbook which tool these trials were pulled with.`,
  };
}

function neverTested({ isSimulated }: StandingsTable): string {
  return isSimulated ? 'Never tested on the simulated bench.' : 'Never tested.';
}

function notKnown({ toolClasses, driveSizes }: StandingsTable, { details }: CatalogueTool): string | null {
  if (toolClasses.length > 0 && details.toolClass === null) {
    return `The table takes in ${listOf(toolClasses, toolClassWords)} only, and the class of this tool is not entered. Enter it in Tools.`;
  }
  if (driveSizes.length > 0 && details.driveSize === null) {
    return `The table takes in ${listOf(driveSizes, driveSizeWords)} only, and the drive size of this tool is not entered. Enter it in Tools.`;
  }
  return null;
}

/** The classes of everything that counts to a tool, its own first. */
function classesOf(
  catalogue: readonly CatalogueTool[],
  contenders: ContenderLookup,
): ReadonlyMap<string, ReadonlySet<ToolClass>> {
  const classes = new Map<string, Set<ToolClass>>();
  for (const { tool, details } of catalogue) {
    if (details.toolClass === null) continue;
    const toolId = contenders.toolIdOf(tool.id);
    const ofTool = classes.get(toolId) ?? new Set();
    classes.set(toolId, ofTool.add(details.toolClass));
  }
  return classes;
}

function inTwoClasses(classes: ReadonlySet<ToolClass> | undefined): string | null {
  if (classes === undefined || classes.size < 2) return null;
  return `What was merged into this tool is of two classes: ${listOf([...classes].sort(), toolClassWords)}. Put the class right in Tools, or take the merge back.`;
}

function listOf<Value extends string>(
  values: readonly Value[],
  words: Readonly<Record<Value, string>>,
): string {
  return values.map((value) => words[value]).join(' and ');
}

/** Tools with measured trials of any step. */
function testedTools(
  database: ReadableDatabase,
  contenders: ContenderLookup,
  isSimulated: boolean,
): ReadonlySet<string> {
  return new Set(
    database
      .prepare<[number], { shown_setup_id: string | null; shown_tool_name_folded: string }>(
        `SELECT DISTINCT shown_setup_id, shown_tool_name_folded
         FROM (SELECT id, shown_setup_id, shown_tool_name_folded FROM trial INDEXED BY trial_by_start) AS listed
           JOIN trial_score ON trial_id = listed.id
         WHERE is_simulated = ?`,
      )
      .all(Number(isSimulated))
      .map(({ shown_setup_id, shown_tool_name_folded }) =>
        contenders.contenderOf(
          contenders.keyOf(shown_setup_id, shown_tool_name_folded),
          shown_tool_name_folded,
          isSimulated,
        ),
      )
      .flatMap(({ toolId }) => toolId ?? []),
  );
}
