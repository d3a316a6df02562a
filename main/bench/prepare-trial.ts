import { randomUUID } from 'node:crypto';
import type { RequestParams } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Obstacle } from '../../shared-lib/bench-status.ts';
import type { SheetOnBench } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { overloadLimitNm } from '../../shared-lib/trial/assess-quality.ts';
import { DEFINITION_VERSION } from '../../shared-lib/trial/definition-version.ts';
import { onsetLevelNm } from '../../shared-lib/trial/find-onset.ts';
import { mayBeLoadedAtStart } from '../../shared-lib/trial/kind-rules.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import { fixStepLevel } from '../storage/session-repository.ts';
import type { ArmedTrial } from '../trials/armed-trial.ts';
import type { BenchChain } from './bench-chain.ts';
import type { BenchGuards } from './bench-guards.ts';
import type { BenchSessions } from './bench-sessions.ts';
import { refuseOtherEntry, refuseRest, type SheetPart } from './bench-sheet.ts';
import type { BenchTools } from './bench-tools.ts';
import { refuseLoad, type Zero } from './read-zero.ts';

/** What a trial has that is pulled without a run sheet. */
const outsideOfSheet: SheetPart = {
  setup: null,
  place: null,
  preparation: null,
  restedS: null,
  plannedRestS: null,
  lastPullEndedUs: null,
  restAfterS: 0,
};

/** The bench as the next trial finds it. */
interface BenchAtArming {
  readonly chain: BenchChain;
  readonly sessions: BenchSessions;
  readonly guards: BenchGuards;
  readonly sheet: SheetOnBench | null;
  obstacles(): readonly Obstacle[];
  connected(): Transducer;
  readCurrentZero(): Zero;
}

/**
 * Fixes what the next trial is made with, and takes the zero anew, but for a breakaway.
 *
 * Errors: AppError 'invalid-state' while something else has the bench, with an obstacle, and before a rest is over unless
 * it is cut; 'bench-moved-on'; 'not-unloaded' and the like where no zero can be read.
 */
export function prepareTrial(
  { platform, amplifier, settings, database, sheetOnBench }: BenchTools,
  bench: BenchAtArming,
  { entryId, isRestCut }: RequestParams<'armTrial'>,
): ArmedTrial {
  const { chain, sessions, sheet } = bench;
  // Before anything else: arming sets the zero, and a run under way keeps the one it began with.
  bench.guards.refuseUndecided();
  bench.guards.refuseWhileBusy('Starting a trial');
  refuseOtherEntry(sheet, entryId, 'Starting a trial');
  const [obstacle] = bench.obstacles();
  if (obstacle) throw new AppError('invalid-state', obstacle.sentence, { obstacle: obstacle.code });
  if (isRestCut !== true) refuseRest(sheet);
  const transducer = bench.connected();
  const target = amplifier.target();
  const calibration = chain.validCalibration();
  const zero = chain.zero();
  const { clockSource, measuredRateHz } = amplifier.status();
  if (!target || !calibration || !zero || transducer.capacityNm === null || !clockSource) {
    throw new Error('The list of obstacles let an incomplete bench through');
  }
  const entry = sheet?.current ?? null;
  const step = entry?.step ?? settings.current().step;
  const atRest = bench.readCurrentZero();
  const keepsZero = mayBeLoadedAtStart(step.kind);
  if (!keepsZero) {
    refuseLoad({
      before: zero,
      now: atRest,
      calibration,
      senseSign: transducer.senseSign,
      capacityNm: transducer.capacityNm,
    });
  }
  const noiseNm = atRest.noiseNm ?? 0;
  const sessionId = sessions.idFor(transducer);
  const level = fixStepLevel(database, sessionId, step, {
    onsetLevelNm: onsetLevelNm(transducer.capacityNm, noiseNm),
    noiseNm,
  });
  const { lastPullEndedUs, restAfterS, ...ofSheet } = entry
    ? sheetOnBench.partOf(entry, sessionId)
    : outsideOfSheet;
  // After what may have to be tried again: else each try would follow the drift a little further.
  if (!keepsZero) chain.setZero(atRest);
  return {
    plan: { trialId: randomUUID(), step, rigUnloading: transducer.rigUnloading },
    sessionId,
    conditions: {
      transducer,
      calibrationId: calibration.id,
      amplifierId: target.amplifier?.id ?? null,
      amplifierName: target.amplifier?.name ?? null,
      profile: target.profile,
      clockSource,
      zeroCounts: (keepsZero ? zero : atRest).counts,
      noiseNm,
      onsetLevelNm: level.onsetLevelNm,
      softwareVersion: platform.softwareVersion,
      definitionVersion: DEFINITION_VERSION,
      ...ofSheet,
    },
    lastPullEndedUs,
    restAfterS,
    calibration,
    overloadNm: overloadLimitNm(transducer) ?? transducer.capacityNm,
    sampleRateHz: measuredRateHz ?? target.profile.nominalRateHz,
  };
}
