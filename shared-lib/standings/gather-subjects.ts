import type { CatalogueTool, ExchangeRate, ToolClass } from '../catalogue/catalogue-model.ts';
import { driveSizeWords, toolClassWords } from '../catalogue/catalogue-words.ts';
import { foldName } from '../catalogue/fold-name.ts';
import { propertiesOf } from '../catalogue/tool-properties.ts';
import type { Contender } from '../comparison/comparison-model.ts';
import type { ContenderLookup } from '../comparison/contender-lookup.ts';
import type { PulledTrial } from '../comparison/pulled-trial.ts';
import type { ToolProperty } from './scheme-model.ts';
import type { StandingsSubject, StandingsTable } from './standings-model.ts';

/** What of an entry of the catalogue standings look at. */
export type SubjectEntry = Pick<
  CatalogueTool,
  'tool' | 'details' | 'ratings' | 'mergedIntoToolId' | 'trialCount'
>;

export interface SubjectQuestion {
  readonly table: StandingsTable;
  readonly catalogue: readonly SubjectEntry[];
  readonly contenders: ContenderLookup;
  /** Of the steps that the scheme asks for. */
  readonly scores: readonly PulledTrial[];
  /** As one of its trials has it, by trial. */
  readonly toolNameOf: (trialId: string) => string;
  /** Tools with measured trials of any step, of the kind that the table takes in; asked only where it matters. */
  readonly testedToolIds: () => ReadonlySet<string>;
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
export function gatherSubjects(question: SubjectQuestion): StandingsSubject[] {
  const { table, catalogue, contenders, scores, toolNameOf } = question;
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
    contenders.contenderOf(key, key.startsWith('name:') ? toolNameOf(trialId) : '', table.isSimulated),
  );
  const testedToolIds = new Set(tested.map(({ toolId }) => toolId));
  const others = catalogue.filter(
    ({ tool, mergedIntoToolId }) =>
      mergedIntoToolId === null && !tool.isArchived && !testedToolIds.has(tool.id),
  );
  const wasTested = others.some(({ trialCount }) => trialCount > 0)
    ? question.testedToolIds()
    : new Set<string>();
  return [
    ...tested.map((contender) => subjectOf(contender, null)),
    ...others.map(({ tool: { id, name } }) =>
      subjectOf(
        {
          key: `name:${foldName(name)}`,
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
  entry: SubjectEntry,
  { table, properties, rates, on }: SubjectQuestion,
): StandingsSubject['properties'] {
  if (properties.size === 0) return [];
  return propertiesOf(entry, { currency: table.currency, rates, on }).filter(({ property }) =>
    properties.has(property),
  );
}

function isOutside({ toolClasses, driveSizes, supplies }: StandingsTable, entry: SubjectEntry): boolean {
  const { toolClass, driveSize } = entry.details;
  return (
    isOther(toolClasses, toolClass) || isOther(driveSizes, driveSize) || isOther(supplies, entry.tool.supply)
  );
}

function isOther<Value>(wanted: readonly Value[], value: Value | null): boolean {
  return wanted.length > 0 && value !== null && !wanted.includes(value);
}

/** What was pulled under a name that stands for no tool. */
export function notOfTheList(contender: Contender): StandingsSubject {
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

function notKnown({ toolClasses, driveSizes }: StandingsTable, { details }: SubjectEntry): string | null {
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
  catalogue: readonly SubjectEntry[],
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
