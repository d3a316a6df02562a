import type { Role } from '../run-sheet/run-sheet-model.ts';
import type { QualityGate } from '../run-sheet/session-model.ts';
import { passesGate } from '../run-sheet/setup-figures.ts';
import type { Suspicion } from '../trial/suspicion.ts';
import type { Quality, TrialSummary } from '../trial/trial-model.ts';
import type { ComparedStep } from './trial-measure.ts';

/** What has to be alike for two trials to be compared, beside their step. */
export interface BenchOfTrial {
  readonly transducerId: string;
  readonly rigRevision: string;
  readonly nominalRateHz: number;
  readonly antiAliasBandwidthHz: number | null;
  readonly windowS: number;
  readonly definitionVersion: number;
  /** By rules of before: another definition is not alike, also where it has the same measures. */
  readonly isByDefinition?: true;
}

/** A trial that has ended and was measured, as comparisons and standings see it, without its values. */
export interface PulledTrial {
  readonly trialId: string;
  /** Of its contender. */
  readonly key: string;
  readonly sessionId: string;
  readonly startedAt: string;
  readonly step: ComparedStep;
  readonly preloadNm: number | null;
  readonly isSimulated: boolean;
  readonly state: TrialSummary['state'];
  readonly isVoided: boolean;
  readonly verdict: Quality['verdict'] | null;
  readonly suspicion: Suspicion | null;
  /** Null: outside of a run sheet. */
  readonly role: Role | null;
  readonly round: number | null;
  readonly runSheetId: string | null;
  /** By which it is read. */
  readonly calibrationId: string;
  readonly onsetLevelNm: number;
  readonly bench: BenchOfTrial;
}

export const VOIDED = 'voided';
/** Of a trial that nobody has kept or voided yet. */
export const UNDECIDED = 'not decided yet';

/** Why a trial counts nowhere, in words; null: it counts. What would let its values be picked is never looked at. */
export function whyLeftOut(
  { state, isVoided, role, verdict, suspicion }: PulledTrial,
  gate: QualityGate,
): string | null {
  if (isVoided) return VOIDED;
  if (state === 'reviewing') return UNDECIDED;
  if (state === 'interrupted') return 'interrupted';
  if (role === 'conditioning') return 'a conditioning pull, declared as not counted';
  if (suspicion?.decision === 'excluded') return 'left out after a failed daily check';
  if (!passesGate(gate, verdict)) return verdict === null ? 'not measured' : 'kept out by its quality';
  return null;
}
