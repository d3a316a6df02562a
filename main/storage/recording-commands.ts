import { assertNever } from '../../shared-lib/assert-never.ts';
import type { Assignment } from '../../shared-lib/trial/assignment.ts';
import type { FaultEvent, TrialFigures } from '../../shared-lib/trial/trial-model.ts';
import type { RecordingOutcome } from '../../shared-lib/trial/trial-state.ts';
import { assignCalibration } from './assignment-repository.ts';
import { type WritableDatabase, writing } from './database.ts';
import { type Assumptions, evaluateNext, measureAnew } from './measure-anew.ts';
import { evaluateRecording, fitRate } from './recording-evaluation.ts';
import {
  appendBlock,
  appendFault,
  beginTrial,
  countRecorded,
  finishRecording,
  type NewTrial,
  readRecording,
  type StoredBlock,
  storeZeroAfter,
} from './recording-repository.ts';
import { listUnpacked, repackNextRun } from './repack-trial.ts';
import { getTrial } from './trial-repository.ts';

export interface RecordEnding {
  readonly outcome: RecordingOutcome;
  /** What is stored with an outcome other than 'complete'. */
  readonly sentence: string;
  readonly zeroAfterCounts: number | null;
  /** Where too few arrival times tell the rate. */
  readonly expectedRateHz: number;
  readonly onsetSlot: number;
  readonly levelsNm: readonly number[];
  readonly operator: string;
  readonly at: string;
}

/** What the writer is asked to do; each is answered once it is on the disk, all of it or nothing. */
export type RecordingCommand =
  /** The first command opens the database anyway; this one has it open before it matters. */
  | { readonly type: 'open' }
  | {
      readonly type: 'begin';
      readonly trial: NewTrial;
      readonly blocks: readonly StoredBlock[];
      readonly faults: readonly FaultEvent[];
    }
  /**
   * `isRepeat`: an answer stayed out, so part of this may be stored already and is passed over then. `faults` are those
   * that follow the first `faultsBefore` of the trial.
   */
  | {
      readonly type: 'append';
      readonly trialId: string;
      readonly blocks: readonly StoredBlock[];
      readonly faults: readonly FaultEvent[];
      readonly faultsBefore: number;
      readonly isRepeat: boolean;
    }
  | { readonly type: 'finish'; readonly trialId: string; readonly ending: RecordEnding }
  /** Reads a trial that has ended by another calibration from now on; what speaks against it was asked before. */
  | {
      readonly type: 'assign';
      readonly trialId: string;
      readonly assigned: Omit<Assignment, 'label'>;
      /** For a trial that has no figures yet; one that has keeps its levels. */
      readonly levelsNm: readonly number[];
    }
  | { readonly type: 'packNext'; readonly except: readonly string[] }
  /** Measures a trial whose figures follow an older definition. */
  | { readonly type: 'evaluateNext'; readonly except: readonly string[]; readonly at: string }
  /** Figures under other assumptions; nothing is stored. */
  | { readonly type: 'whatIf'; readonly trialId: string; readonly assumed: Assumptions }
  | { readonly type: 'close' };

/** `figures`: null where the recording was cut short; such a trial is measured when somebody keeps it. */
export interface RecordingResults {
  open: null;
  begin: null;
  append: null;
  finish: { readonly figures: TrialFigures | null };
  assign: null;
  /** The trial of which a piece was packed or could not be, and null when nothing is left to pack. */
  packNext: { readonly trialId: string; readonly problem: string | null } | null;
  /** Likewise, of measuring. */
  evaluateNext: { readonly trialId: string; readonly problem: string | null } | null;
  whatIf: { readonly figures: TrialFigures };
  close: null;
}

export type CommandType = RecordingCommand['type'];
export type CommandOf<Type extends CommandType> = Extract<RecordingCommand, { type: Type }>;

/** Errors: the AppErrors of the database; the trial is then as it was before the command. */
export function performRecordingCommand(
  database: WritableDatabase,
  command: RecordingCommand,
): RecordingResults[CommandType] {
  switch (command.type) {
    case 'open':
      return null;
    case 'begin':
      writing(database, () => {
        beginTrial(database, command.trial, command.blocks);
        for (const fault of command.faults) appendFault(database, command.trial.id, fault);
      });
      return null;
    case 'append':
      append(database, command);
      return null;
    case 'finish':
      return { figures: finish(database, command.trialId, command.ending) };
    case 'assign':
      assign(database, command);
      return null;
    case 'packNext':
      return packNext(database, command.except);
    case 'evaluateNext':
      return evaluateNext(database, command.except, command.at);
    case 'whatIf':
      return { figures: measureAnew(database, command.trialId, [], command.assumed) };
    case 'close':
      database.close();
      return null;
    default:
      return assertNever(command, 'A command that nobody performs');
  }
}

function append(database: WritableDatabase, command: CommandOf<'append'>): void {
  const { trialId } = command;
  writing(database, () => {
    const stored = command.isRepeat ? countRecorded(database, trialId) : null;
    const blocks = command.blocks.filter(({ firstSlot }) => firstSlot >= (stored?.endSlot ?? 0));
    const faults = command.faults.slice(stored === null ? 0 : stored.faults - command.faultsBefore);
    for (const block of blocks) appendBlock(database, trialId, block);
    for (const fault of faults) appendFault(database, trialId, fault);
  });
}

/** Reads the record again, so that the figures rest on what is stored; writes all there is to its end in one go, but for the zero. */
function finish(database: WritableDatabase, trialId: string, ending: RecordEnding): TrialFigures | null {
  const { outcome, zeroAfterCounts, at } = ending;
  // Measuring an hour takes seconds, in which the program may be ended.
  if (outcome === 'complete' && zeroAfterCounts !== null) storeZeroAfter(database, trialId, zeroAfterCounts);
  const recording = readRecording(database, trialId);
  const rate = fitRate(recording, ending.expectedRateHz);
  const common = { ...rate, zeroAfterCounts, onsetSlot: ending.onsetSlot, finishedAt: at };
  const decided = { figuresShown: false, operator: ending.operator, at };
  if (outcome !== 'complete') {
    finishRecording(database, trialId, {
      ...common,
      state: 'interrupted',
      interruption: outcome,
      figures: null,
      decision: { ...decided, decision: 'interrupted', reason: ending.sentence },
    });
    return null;
  }
  const figures = evaluateRecording(database, getTrial(database, trialId), recording, {
    sampleRateHz: rate.sampleRateHz,
    zeroAfterCounts,
    levelsNm: ending.levelsNm,
  });
  const isGood = figures.quality.verdict === 'good';
  finishRecording(database, trialId, {
    ...common,
    state: isGood ? 'kept' : 'reviewing',
    interruption: null,
    figures,
    decision: isGood
      ? {
          ...decided,
          decision: 'kept',
          reason: 'Kept by itself: quality good, figures not shown before.',
        }
      : null,
  });
  return figures;
}

/** Here rather than in main: two minutes at a high rate take a second to measure. */
function assign(database: WritableDatabase, { trialId, assigned, levelsNm }: CommandOf<'assign'>): void {
  const figures = measureAnew(database, trialId, levelsNm, { calibrationId: assigned.calibrationId });
  assignCalibration(database, trialId, assigned, figures);
}

function packNext(database: WritableDatabase, except: readonly string[]): RecordingResults['packNext'] {
  const trialId = listUnpacked(database).find((id) => !except.includes(id));
  if (trialId === undefined) return null;
  try {
    repackNextRun(database, trialId);
    return { trialId, problem: null };
  } catch (error) {
    return { trialId, problem: error instanceof Error ? (error.stack ?? error.message) : String(error) };
  }
}
