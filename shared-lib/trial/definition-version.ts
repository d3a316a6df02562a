/**
 * Version of the definitions of all measures and curves; stored with every set of figures.
 *
 * 1: onset, sustained, final and highest torque, torque at times, times to levels. 2: these as they were; new are still
 * climbing, impulse, rise, rise model, blow rate, the time the tool pulled, standard errors, and what only stall, breakaway
 * and endurance have. A breakaway has an onset of its own. 3: all measures as in 2; the quality is judged otherwise: a count
 * that stands still is looked for in the counts of the pull, unreadable lines count as lost samples where nothing else tells
 * of them, and a flag that the amplifier set on itself and an onset that moved are reasons to look. 4: all measures as in 2 again;
 * samples that are lost right before onset are a reason to look.
 */
export const DEFINITION_VERSION = 4;

/** Versions that brought other measures; one between two of them measures as the one before it. */
const OTHER_MEASURES_BY = [1, 2] as const;

/** Since this version all measures are the same; what differs from version to version is how the quality is judged. */
export const MEASURES_SINCE_VERSION = Math.max(...OTHER_MEASURES_BY);

/**
 * The version that first had the measures of this one: figures of both may stand beside each other, however their quality was
 * judged. What a later version than ours measures nobody knows here, so it stands for itself.
 */
export function measuresVersionOf(definitionVersion: number): number {
  if (definitionVersion > DEFINITION_VERSION) return definitionVersion;
  return OTHER_MEASURES_BY.findLast((version) => version <= definitionVersion) ?? definitionVersion;
}
