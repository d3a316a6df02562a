import { formatTorqueInBothUnits } from '../format-quantity.ts';
import { hangingReading } from './plan-run.ts';
import type { CalibrationRun, PlannedReading, RunProgress, RunSetup } from './run-model.ts';
import type { Weight } from './standards-model.ts';

export interface RunInstruction {
  /** What to do now. */
  readonly sentence: string;
  /** What it leads to, or what to look at. */
  readonly detail: string;
}

/** What the operator does now, and why. `progress`: of this run, where it is live. */
export function instructionFor(run: CalibrationRun, progress: RunProgress | null = null): RunInstruction {
  const reading = run.nextIndex === null ? undefined : run.readings[run.nextIndex];
  if (reading === undefined) {
    return {
      sentence: 'All readings are taken. Take everything off.',
      detail: 'Look at the result, and accept it or take single readings again.',
    };
  }
  if (run.state === 'paused') {
    return {
      sentence: `The run is paused at reading ${reading.index + 1} of ${run.readings.length}.`,
      detail: 'Nothing is lost. Go on when the amplifier is connected and the rig is as it was left.',
    };
  }
  if (progress?.phase === 'waitingForHands' && reading.handling !== null) {
    return { sentence: reading.handling, detail: 'Confirm when it is done: no reading can show it.' };
  }
  const load = loadSentence(run, reading);
  const [flag] = progress?.flags ?? [];
  if (progress?.phase === 'held' && flag !== undefined) {
    return {
      sentence: flag.sentence,
      detail: `Asked for: ${placeOf(run.setup, reading)}. Put it right and it is taken by itself, or take it as it is: the remark then stays with it.`,
    };
  }
  if (flag !== undefined) return { sentence: load, detail: flag.sentence };
  return { sentence: load, detail: `${stageWords(run.setup, reading)} ${placeOf(run.setup, reading)}.` };
}

/** The change of load from the reading before. */
function loadSentence(run: CalibrationRun, reading: PlannedReading): string {
  const { setup } = run;
  if (reading.stage === 'bending') return 'Leave the weights as they hang, shifted sideways.';
  const place = setup.way === 'loadCell' ? 'the hanger' : 'the arm';
  const wanted = loadOf(setup, reading);
  const hanging = hangingReading(run);
  // A remounting begins with everything taken off.
  const present =
    hanging === null || hanging.mounting !== reading.mounting || hanging.sense !== reading.sense
      ? []
      : loadOf(setup, hanging);
  const toAdd = missingFrom(wanted, present);
  const toTakeOff = missingFrom(present, wanted);
  // Its own moment counts in the torque, so the zero is taken without it.
  const isArmLoad = setup.way !== 'loadCell' && setup[reading.arm]?.own != null;
  if (wanted.length === 0) {
    if (isArmLoad) return 'Take everything off, the arm too, and leave the transducer alone.';
    return present.length === 0
      ? `Leave ${place} bare and let it hang free.`
      : 'Take everything off and let it hang free.';
  }
  if (toAdd.length === 0 && toTakeOff.length === 0) return 'Leave the weights as they hang.';
  const torque = `${formatLevelTorque(reading.torqueNm)} ${reading.sense}`;
  const isFromBelow = reading.stage === 'increasing' && toTakeOff.length > 0 && present.length > 0;
  if (isFromBelow) {
    return `Take everything off, then hang ${listWeights(wanted)} on ${place}, so that the load rises: ${torque}.`;
  }
  if (toTakeOff.length === 0) {
    if (present.length === 0 && isArmLoad) {
      return `Put the arm on and hang ${listWeights(wanted)} on it: ${torque}.`;
    }
    return present.length === 0
      ? `Hang ${listWeights(wanted)} on ${place}: ${torque}.`
      : `Add ${listWeights(toAdd)}: ${torque}.`;
  }
  if (toAdd.length === 0) return `Take off ${listWeights(toTakeOff)}: ${torque}.`;
  return `Take off ${listWeights(toTakeOff)} and hang ${listWeights(toAdd)}: ${torque}.`;
}

/** The weights that a planned reading hangs. */
export function loadOf(setup: RunSetup, reading: Pick<PlannedReading, 'level'>): readonly Weight[] {
  return reading.level === 0 ? [] : (setup.levels[reading.level - 1] ?? []);
}

/** Those of `wanted` that `present` lacks; a weight that stands twice counts twice. */
function missingFrom(wanted: readonly Weight[], present: readonly Weight[]): Weight[] {
  const left = present.map(({ id }) => id);
  return wanted.filter(({ id }) => {
    const at = left.indexOf(id);
    if (at < 0) return true;
    left.splice(at, 1);
    return false;
  });
}

/** "5 kg and 2 kg", by the names of the weights. */
export function listWeights(weights: readonly Pick<Weight, 'name'>[]): string {
  const names = weights.map(({ name }) => name);
  const last = names.pop() ?? 'nothing';
  return names.length === 0 ? last : `${names.join(', ')} and ${last}`;
}

/** At least three figures, in both units. */
export function formatLevelTorque(torqueNm: number): string {
  const size = Math.abs(torqueNm);
  const decimals = size < 1 ? 3 : size < 10 ? 2 : size < 1000 ? 1 : 0;
  return formatTorqueInBothUnits(torqueNm, decimals);
}

function stageWords(setup: RunSetup, reading: PlannedReading): string {
  switch (reading.stage) {
    case 'warmUp':
      return 'Warm-up: the zero is watched until it changes by less than 0.05 % of the capacity in 10 minutes.';
    case 'exercise':
      return reading.level === 0
        ? 'Before an exercise, at rest.'
        : 'Exercise: the rig settles under the full load.';
    case 'zeroBefore':
      return 'Zero before the series.';
    case 'increasing':
      return `Step ${reading.level} of ${setup.levels.length}, increasing.`;
    case 'decreasing':
      return `Step ${reading.level} of ${setup.levels.length}, decreasing.`;
    case 'zeroAfter':
      return 'Zero after the series.';
    case 'creep30':
      return 'Creep: read 30 s after the load was hung.';
    case 'creep300':
      return 'Creep: read 300 s after the load was hung.';
    case 'bending':
      return 'Load shifted sideways.';
  }
}

function placeOf(setup: RunSetup, reading: PlannedReading): string {
  const weights = loadOf(setup, reading);
  const place = setup.way === 'loadCell' ? 'the hanger' : 'the arm';
  const load =
    weights.length === 0
      ? `nothing on ${place}`
      : `${listWeights(weights)} on ${place}, ${formatLevelTorque(reading.torqueNm)}`;
  const mounting = setup.series === 'full' || reading.mounting > 1 ? `, mounting ${reading.mounting}` : '';
  return `${load} ${reading.sense}${mounting}`;
}
