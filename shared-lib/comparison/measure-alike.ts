import { formatTorqueInBothUnits } from '../format-quantity.ts';
import type { Measure, TrialFigures } from '../trial/trial-model.ts';
import type { PulledTrial } from './pulled-trial.ts';
import type { TrialMeasure } from './trial-measure.ts';

/** What a trial is measured by: the level of its onset, and the torques whose times are asked for. */
export interface MeasuredAt {
  readonly onsetLevelNm: number;
  readonly levelsNm: readonly number[];
}

/** Where values of trials come from. */
export interface MeasureReader<Trial extends PulledTrial> {
  /** As it was measured at its own onset level; null: not reached, not carried, or a level that nobody asked for. */
  storedValue(trial: Trial, measure: TrialMeasure): number | null;
  /** Whether the time to a level was asked for when the trial was measured. */
  hasLevel(trial: Trial, levelNm: number): boolean;
  /** False while a trial is under way: nothing competes with recording it. */
  isPossible(): boolean;
  /** From the raw counts. */
  figuresOf(trial: Trial, at: MeasuredAt): Promise<TrialFigures>;
}

export interface MeasuredAlike {
  /** In the order of the measures; undefined: the trial was not asked for. */
  valuesOf(trialId: string): readonly (number | null)[] | undefined;
  /** Trials whose value is not known now, with the reason. */
  readonly unknown: ReadonlyMap<string, string>;
  readonly cautions: readonly string[];
}

/** Said where a trial under way kept trials from being measured anew. */
export const ASK_AGAIN_CAUTION =
  'Onset was found at different levels, and a trial is under way: the figures stand as they were measured, each at its own level. Ask again when it has ended.';

/**
 * Measures of trials that are compared, all at the highest onset level among them: where that differs they are measured anew
 * from their raw counts. While a trial is under way nothing is, and stored values stand as they are, which is said.
 */
export async function measureAlike<Trial extends PulledTrial>(
  reader: MeasureReader<Trial>,
  trials: readonly Trial[],
  measures: readonly TrialMeasure[],
): Promise<MeasuredAlike> {
  const onsetLevelNm = highestOnsetLevelNm(trials);
  const others = trials.filter((trial) => trial.onsetLevelNm !== onsetLevelNm);
  const needsMeasuring = trials.some((trial) =>
    measures.some((measure) => !isMeasuredAt(reader, trial, measure, onsetLevelNm)),
  );
  if (!needsMeasuring || reader.isPossible()) {
    const values = await valuesAt(reader, trials, measures, onsetLevelNm);
    return {
      valuesOf: (trialId) => values.get(trialId),
      unknown: new Map(),
      cautions:
        others.length === 0
          ? []
          : [
              `Onset was found at different levels; all trials were measured anew at the highest of them, ${formatTorqueInBothUnits(onsetLevelNm, 1)}.`,
            ],
    };
  }
  const stored = new Map(
    trials.map((trial) => [trial.trialId, measures.map((measure) => reader.storedValue(trial, measure))]),
  );
  return {
    valuesOf: (trialId) => stored.get(trialId),
    unknown: new Map(
      trials
        .filter((trial) =>
          measures.some(
            (measure) => measure.figure === 'timeToLevel' && !reader.hasLevel(trial, measure.levelNm),
          ),
        )
        .map(({ trialId }) => [
          trialId,
          'its time to this torque is measured once the trial under way has ended',
        ]),
    ),
    cautions: others.length === 0 ? [] : [ASK_AGAIN_CAUTION],
  };
}

/** The highest level of onset among trials: at which all of them are compared. */
export function highestOnsetLevelNm(trials: readonly PulledTrial[]): number {
  return trials.reduce((highest, { onsetLevelNm }) => Math.max(highest, onsetLevelNm), 0);
}

/** Whether the stored value of a trial is what a comparison at this level takes. */
function isMeasuredAt<Trial extends PulledTrial>(
  reader: MeasureReader<Trial>,
  trial: Trial,
  measure: TrialMeasure,
  onsetLevelNm: number,
): boolean {
  return (
    trial.onsetLevelNm === onsetLevelNm &&
    (measure.figure !== 'timeToLevel' || reader.hasLevel(trial, measure.levelNm))
  );
}

/** The values of measures at one onset level: stored ones where they were measured by it, else measured anew. */
async function valuesAt<Trial extends PulledTrial>(
  reader: MeasureReader<Trial>,
  trials: readonly Trial[],
  measures: readonly TrialMeasure[],
  onsetLevelNm: number,
): Promise<Map<string, (number | null)[]>> {
  const levelsNm = measures.flatMap((measure) => (measure.figure === 'timeToLevel' ? [measure.levelNm] : []));
  const values = new Map<string, (number | null)[]>();
  for (const trial of trials) {
    if (measures.every((measure) => isMeasuredAt(reader, trial, measure, onsetLevelNm))) {
      values.set(
        trial.trialId,
        measures.map((measure) => reader.storedValue(trial, measure)),
      );
      continue;
    }
    const figures = await reader.figuresOf(trial, { onsetLevelNm, levelsNm });
    values.set(
      trial.trialId,
      measures.map((measure) => figureOf(figures, measure)),
    );
  }
  return values;
}

/** The value of a measure among figures; null: not reached, not carried, or a level that was not asked for. */
export function figureOf(figures: TrialFigures, measure: TrialMeasure): number | null {
  switch (measure.figure) {
    case 'sustainedTorque':
      return valueOf(figures.sustainedTorqueNm);
    case 'finalTorque':
      return valueOf(figures.finalTorqueNm);
    case 'torqueAt':
      return valueOf(figures.torqueAt.find(({ atS }) => atS === measure.atS)?.torqueNm ?? null);
    case 'timeTo90Percent':
      return valueOf(figures.timeTo90PercentS);
    case 'timeToLevel':
      return figures.timeToLevel.find(({ levelNm }) => levelNm === measure.levelNm)?.timeS ?? null;
    case 'stallTorque':
      return valueOf(figures.stallTorqueNm);
    case 'releasedPreload': {
      const { breakaway } = figures;
      return breakaway !== null && 'preloadNm' in breakaway && breakaway.releasedAtS !== null
        ? breakaway.preloadNm
        : null;
    }
    case 'lastTorque':
      return figures.endurance !== null && 'lastNm' in figures.endurance ? figures.endurance.lastNm : null;
  }
}

function valueOf(measure: Measure | null): number | null {
  return measure !== null && 'value' in measure ? measure.value : null;
}
