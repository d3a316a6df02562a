import { formatNumber } from '../format-quantity.ts';
import { NO_SAFETY_ASSESSMENT, PROGRAM_CANNOT_STOP, safetyPoints } from '../trial/words/safety-words.ts';
import { caution, facts, list, type ReportSection, type Row, section, table, text } from './report-blocks.ts';
import type { ReportContext } from './report-context.ts';

/** What stands at the end of every report: cautions, where the data are, what computed it, safety. */
export const SIMULATED =
  'Simulated: a demonstration of the program with a computed bench. No real tool, transducer or weight is behind any figure here.';

export const THIS_SPECIMEN =
  'What is said of a tool holds for this specimen on this bench. Another specimen, rig, joint or sample rate may read otherwise.';

/** Each caution once, in the order in which it was given. */
export function cautionSection(cautions: readonly string[]): ReportSection[] {
  return section('Cautions', [list([...new Set(cautions)])]);
}

/** A name of the thing, and the identity under which the data package of the same subject holds it. */
export interface Identity {
  readonly what: string;
  readonly id: string;
  readonly where: string;
}

/** So that whoever doubts a figure finds what it came from. */
export function identitySection(identities: readonly Identity[]): ReportSection[] {
  if (identities.length === 0) return [];
  return section('Where the data are', [
    text(
      'A data package of the same subject holds the raw counts behind this report under these identities, with a script that computes every figure again and needs Node alone: node recompute.mjs. The raw counts of a trial stand there in data/counts, in the file that is named by its identity.',
    ),
    table(
      'Identities, and the file of the data package that has them',
      ['What', 'Identity', 'File'],
      identities.map(({ what, id, where }) => [what, id, where]),
    ),
  ]);
}

export function trialIdentity(what: string, trialId: string): Identity {
  return { what, id: trialId, where: 'data/trial.csv' };
}

export function calibrationIdentity(label: string, calibrationId: string): Identity {
  return { what: `Calibration “${label}”`, id: calibrationId, where: 'data/calibration.csv' };
}

export function sessionIdentity(what: string, sessionId: string): Identity {
  return { what, id: sessionId, where: 'data/session.csv' };
}

/** `recordedWith`: version of the program and of the definitions while it was recorded, once each. */
export function softwareSection(
  context: ReportContext,
  {
    measuredBy,
    recordedWith,
  }: { readonly measuredBy: readonly number[]; readonly recordedWith: readonly string[] },
): ReportSection[] {
  const rows: Row[] = [
    { name: 'Report made', value: context.formatInstant(context.madeAt) },
    { name: 'By', value: `Proofarm ${context.softwareVersion} on the bench “${context.benchName}”` },
    ...(measuredBy.length === 0
      ? []
      : [
          {
            name: 'Definitions of the figures',
            value: measuredBy.map((version) => `version ${formatNumber(version, 0)}`).join(' and '),
          },
        ]),
    ...(recordedWith.length === 0 ? [] : [{ name: 'Recorded with', value: recordedWith.join('; ') }]),
  ];
  return section('What computed it', [facts(rows)]);
}

export function safetySection(): ReportSection[] {
  return section('Safety', [
    caution(`${NO_SAFETY_ASSESSMENT} ${PROGRAM_CANNOT_STOP} Only the trigger does.`),
    list(safetyPoints),
  ]);
}
