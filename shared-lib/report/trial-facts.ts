import { formatNumber } from '../format-quantity.ts';
import type { SessionConditions } from '../run-sheet/session-model.ts';
import { ambientRows } from '../run-sheet/session-words.ts';
import type { TorqueDisplay } from '../torque-display.ts';
import { conditionRows } from '../trial/words/condition-rows.ts';
import { preparationRows, setupRows } from '../trial/words/setup-rows.ts';
import type { TrialDecision, TrialRecord } from '../trial/trial-model.ts';
import type { Row } from './report-blocks.ts';

/** What differs from trial to trial by nature, and stands with each of them. */
const OF_ONE_TRIAL: ReadonlySet<string> = new Set([
  'Samples',
  'Zero before',
  'Zero after',
  'Fitted rate',
  'Noise of the measuring curve at rest',
  'Place in the sheet',
  'Rest before',
  'Its pulls before',
  'Calibration',
  'Its uncertainty',
  'Recorded with',
]);

/** Rig, transducer, amplifier and how samples were timed: what trials of one bench have in common. */
export function benchRows(record: TrialRecord, torque: TorqueDisplay): Row[] {
  return conditionRows(record, null, torque).filter(({ name }) => !OF_ONE_TRIAL.has(name));
}

/** Tool, pack, setting, socket, and how they were found: what trials of one setup have in common. */
export function setupFacts(record: TrialRecord, torque: TorqueDisplay): Row[] {
  return [...setupRows(record, torque.format), ...preparationRows(record.conditions)].filter(
    ({ name }) => !OF_ONE_TRIAL.has(name),
  );
}

export function surroundings(conditions: SessionConditions | null): Row[] {
  if (conditions === null) return [];
  return [
    { name: 'Rig note', value: conditions.rigNote === '' ? 'none' : conditions.rigNote },
    ...ambientRows(conditions),
  ];
}

/** "version 0.1.0, definitions 4", for each that occurs. */
export function recordedWith(records: readonly TrialRecord[]): string[] {
  return [
    ...new Set(
      records.map(
        ({ conditions }) =>
          `Proofarm ${conditions.softwareVersion}, definitions ${formatNumber(conditions.definitionVersion, 0)}`,
      ),
    ),
  ];
}

export function definitionsOf(records: readonly TrialRecord[]): number[] {
  return [
    ...new Set(records.flatMap(({ figures }) => (figures === null ? [] : [figures.definitionVersion]))),
  ].sort((one, other) => one - other);
}

/** The decision that voided it and still stands; null: it is not voided. */
export function standingVoid({
  summary,
  decisions,
}: Pick<TrialRecord, 'summary' | 'decisions'>): TrialDecision | null {
  if (!summary.isVoided) return null;
  return decisions.findLast(({ decision }) => decision === 'voided') ?? null;
}

/** Why a trial is not counted, with what its voider wrote. */
export function leftOutWords(because: string, record: TrialRecord | undefined): string {
  const voided = record === undefined ? null : standingVoid(record);
  if (voided === null) return because;
  return `${because}: “${voided.reason}”, ${voided.figuresShown ? 'after' : 'before'} its figures were shown`;
}
