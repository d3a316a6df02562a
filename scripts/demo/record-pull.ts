import { readyMadeProfiles } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { PlaceInSheet } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import type { SetupAsTested } from '../../shared-lib/run-sheet/setup-model.ts';
import { createSimulatedBench } from '../../shared-lib/simulation/simulated-bench.ts';
import type { SimulatedTool } from '../../shared-lib/simulation/simulated-tool.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import type { FaultEvent, Transducer, TrialFigures } from '../../shared-lib/trial/trial-model.ts';
import { DEFINITION_VERSION } from '../../shared-lib/trial/definition-version.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { performRecordingCommand } from '../../main/storage/recording-commands.ts';
import type { StoredBlock } from '../../main/storage/recording-repository.ts';
import { recordDecision } from '../../main/storage/trial-repository.ts';

/** Before onset, and behind the planned time. */
const LEAD_S = 1.2;
const TAIL_S = 2.2;
const TIGHTENING_S = 2;
const LOST_S = 0.03;
const OVERRUN_S = 0.3;
const BLOCK_S = 0.5;
const LEVELS_NM = [100, 200, 400];
const SOFTWARE_VERSION = 'demo';
/** On which the run-to-run scatter does not lean: the same seed gives the same record. */
const ONSET_LEVEL_NM = 15;

export interface DemoPull {
  readonly id: string;
  readonly sessionId: string;
  readonly startedAt: Date;
  readonly step: Step;
  readonly setup: SetupAsTested | null;
  readonly place: PlaceInSheet | null;
  readonly tool: SimulatedTool;
  readonly runScatter: number;
  readonly seed: number;
  readonly transducer: Transducer;
  readonly calibrationId: string;
  readonly sampleRateHz: number;
  readonly operator: string;
  /** `lostLines`: a stretch of thirty milliseconds is missing. `unplugged`: the amplifier went after 2 s. */
  readonly fault?: 'lostLines' | 'unplugged';
}

/**
 * A pull as the bench would have stored it: the simulated amplifier's counts through the same commands, measured by the same code. What the
 * quality does not keep by itself an operator keeps, as the demo's story has it.
 */
export function recordDemoPull(database: WritableDatabase, pull: DemoPull): void {
  const { step, sampleRateHz, startedAt, transducer, operator } = pull;
  const profile = readyMadeProfiles.find(({ checksum }) => checksum === 'xor');
  if (profile === undefined) throw new Error('There is no ready-made profile with a checksum');
  const bench = createSimulatedBench({ seed: pull.seed, sampleRateHz, runScatter: pull.runScatter });
  const leadS = step.kind === 'breakaway' ? LEAD_S + TIGHTENING_S : LEAD_S;
  bench.pull({
    tool: pull.tool,
    direction: step.direction,
    triggerS: step.plannedS + OVERRUN_S,
    delayS: leadS,
    ...(step.kind === 'breakaway'
      ? { work: { kind: 'breakaway' as const, preloadNm: step.preloadNm ?? 400 } }
      : {}),
  });
  // The fastener is tightened before the record begins: what is stored then is the preload that stands.
  bench.nextCounts(Math.round((leadS - LEAD_S) * sampleRateHz));
  const recordedS = LEAD_S + (pull.fault === 'unplugged' ? 2 : step.plannedS + TAIL_S);
  const counts = bench.nextCounts(Math.round(recordedS * sampleRateHz));
  const blocks = cutIntoBlocks(counts, sampleRateHz, pull.fault === 'lostLines' ? LEAD_S + 1.5 : null);
  const [first, ...following] = blocks;
  if (first === undefined) throw new Error('A pull has samples');

  performRecordingCommand(database, {
    type: 'begin',
    trial: {
      id: pull.id,
      sessionId: pull.sessionId,
      startedAt: startedAt.toISOString(),
      step,
      conditions: {
        transducer,
        calibrationId: pull.calibrationId,
        amplifierId: null,
        amplifierName: null,
        profile: { ...profile, nominalRateHz: sampleRateHz, baudRate: 921_600 },
        clockSource: 'sequence',
        zeroCounts: bench.truth.zeroCounts,
        noiseNm: 0.002,
        onsetLevelNm: ONSET_LEVEL_NM,
        softwareVersion: SOFTWARE_VERSION,
        definitionVersion: DEFINITION_VERSION,
        setup: pull.setup,
        place: pull.place,
        preparation: null,
        restedS: null,
        plannedRestS: null,
      },
      onsetSlot: Math.round((LEAD_S + pull.tool.spinUpS) * sampleRateHz),
      isSimulated: true,
    },
    blocks: [first],
    faults: [],
  });
  performRecordingCommand(database, {
    type: 'append',
    trialId: pull.id,
    blocks: following,
    faults: faultsOf(pull),
    faultsBefore: 0,
    isRepeat: false,
  });
  const at = new Date(startedAt.getTime() + 1000 * recordedS).toISOString();
  const finished = performRecordingCommand(database, {
    type: 'finish',
    trialId: pull.id,
    ending: {
      outcome: pull.fault === 'unplugged' ? 'disconnect' : 'complete',
      sentence: pull.fault === 'unplugged' ? 'Amplifier lost after 2 s.' : '',
      zeroAfterCounts: pull.fault === 'unplugged' ? null : bench.truth.zeroCounts,
      expectedRateHz: sampleRateHz,
      onsetSlot: Math.round((LEAD_S + pull.tool.spinUpS) * sampleRateHz),
      levelsNm: LEVELS_NM,
      operator,
      at,
    },
  });
  const figures = finished !== null && 'figures' in finished ? finished.figures : null;
  if (isLeftToAPerson(figures)) {
    recordDecision(database, pull.id, {
      decision: 'kept',
      reason: 'Looked at and kept (demo).',
      stopCause: null,
      figuresShown: false,
      operator,
      at,
    });
  }
}

function isLeftToAPerson(figures: TrialFigures | null): boolean {
  return figures !== null && figures.quality.verdict !== 'good';
}

/** Slots of lost lines hold 0 and are named in the block's gaps. */
function cutIntoBlocks(counts: Int32Array, sampleRateHz: number, lostFromS: number | null): StoredBlock[] {
  const size = Math.round(BLOCK_S * sampleRateHz);
  const lostFrom = lostFromS === null ? counts.length : Math.round(lostFromS * sampleRateHz);
  const lostCount = lostFromS === null ? 0 : Math.round(LOST_S * sampleRateHz);
  const blocks: StoredBlock[] = [];
  for (let firstSlot = 0; firstSlot < counts.length; firstSlot += size) {
    const piece = counts.slice(firstSlot, firstSlot + size);
    const from = Math.max(lostFrom, firstSlot);
    const to = Math.min(lostFrom + lostCount, firstSlot + piece.length);
    const gaps = to > from ? [{ offset: from - firstSlot, length: to - from }] : [];
    for (const { offset, length } of gaps) piece.fill(0, offset, offset + length);
    blocks.push({
      firstSlot,
      counts: piece,
      gaps,
      arrivalUs: Math.round((1e6 * (firstSlot + piece.length)) / sampleRateHz),
    });
  }
  return blocks;
}

function faultsOf({ fault, startedAt, sampleRateHz }: DemoPull): FaultEvent[] {
  if (fault === undefined) return [];
  switch (fault) {
    case 'lostLines': {
      const count = Math.round(LOST_S * sampleRateHz);
      return [
        {
          kind: 'sequenceGap',
          at: new Date(startedAt.getTime() + 1500).toISOString(),
          atS: LEAD_S + 1.5,
          count,
          sentence: `${count} lines were lost on the way from the amplifier.`,
        },
      ];
    }
    case 'unplugged':
      return [
        {
          kind: 'disconnect',
          at: new Date(startedAt.getTime() + 2000).toISOString(),
          atS: LEAD_S + 2,
          count: 1,
          sentence: 'The amplifier was unplugged.',
        },
      ];
  }
}
