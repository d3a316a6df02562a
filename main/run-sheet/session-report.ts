import { createTorqueConverter } from '../../shared-lib/calibration/apply-calibration.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type { Distributions } from '../../shared-lib/calibration/distributions.ts';
import { unitLabel } from '../../shared-lib/format-quantity.ts';
import { describeSetup } from '../../shared-lib/run-sheet/describe-entry.ts';
import { driftOverTime, referenceDrift } from '../../shared-lib/run-sheet/drift-over-time.ts';
import type { Drift, QualityGate, SetupFigures } from '../../shared-lib/run-sheet/session-model.ts';
import {
  numberBlocks,
  passesGate,
  setupFigures,
  verdictInStatistics,
} from '../../shared-lib/run-sheet/setup-figures.ts';
import type { TrialSummary } from '../../shared-lib/trial/trial-model.ts';
import type { SessionTrial } from '../storage/session-trials.ts';

/** The trials of a session in the order in which they were pulled, as its statistics see them. */
export function figuresOfSetups(
  trials: readonly SessionTrial[],
  gate: QualityGate,
  distributions: Distributions,
): SetupFigures[] {
  const blocks = numberBlocks(trials.map(({ summary }) => setupKey(summary)));
  return setupFigures(
    trials.map(({ summary }, index) => ({
      setupId: summary.setup?.setupId ?? null,
      label: labelOf(summary),
      step: summary.step,
      role: summary.place?.role ?? null,
      verdict: verdictInStatistics(summary),
      isKept: summary.state === 'kept',
      isVoided: summary.isVoided,
      sustainedTorqueNm: summary.sustainedTorqueNm,
      startedAt: summary.startedAt,
      block: blocks[index] ?? 0,
    })),
    gate,
    distributions,
  );
}

/**
 * Drift of the zero: the torque that each trial's zero would read as if that of the first had been kept. Zeros of another
 * amplifier than the last trial's lie on another axis of counts and are left out.
 */
export function zeroDrift(
  trials: readonly SessionTrial[],
  calibrationOf: (id: string) => CalibrationVersion,
  distributions: Distributions,
): Drift | null {
  const last = trials.at(-1);
  const comparable = trials.filter(({ amplifierId }) => amplifierId === last?.amplifierId);
  const [first] = comparable;
  if (first === undefined) return null;
  return driftOverTime(
    comparable.map(({ summary, calibrationId, zeroCounts, senseSign }) => ({
      hours: hoursBetween(first.summary.startedAt, summary.startedAt),
      value: createTorqueConverter({
        calibration: calibrationOf(calibrationId),
        zeroCounts: first.zeroCounts,
        senseSign,
      }).toTorqueNm(zeroCounts),
    })),
    distributions,
    { what: 'The zero', unit: unitLabel('Nm'), decimals: 2 },
  );
}

/**
 * Drift of the reference tool: of its pulls that count, those of one setup and step. Where there are several, the one with the
 * most pulls: two tools on one line would show their difference as a drift.
 */
export function driftOfReference(
  trials: readonly SessionTrial[],
  gate: QualityGate,
  distributions: Distributions,
): Drift | null {
  const groups = new Map<string, { hours: number; sustainedTorqueNm: number }[]>();
  const startedAt = trials[0]?.summary.startedAt ?? '';
  for (const { summary } of trials) {
    const { sustainedTorqueNm, step } = summary;
    if (summary.place?.role !== 'reference' || summary.state !== 'kept' || summary.isVoided) continue;
    if (!passesGate(gate, verdictInStatistics(summary)) || sustainedTorqueNm === null) continue;
    const key = JSON.stringify([setupKey(summary), step.kind, step.direction, step.plannedS]);
    const pulls = groups.get(key) ?? [];
    groups.set(key, pulls);
    pulls.push({ hours: hoursBetween(startedAt, summary.startedAt), sustainedTorqueNm });
  }
  const [largest] = [...groups.values()].toSorted((a, b) => b.length - a.length);
  return largest === undefined ? null : referenceDrift(largest, distributions);
}

function labelOf({ setup, step }: TrialSummary): string {
  return setup === null ? step.toolName : describeSetup(setup);
}

function setupKey({ setup, step }: TrialSummary): string {
  return setup?.setupId ?? `by name: ${step.toolName}`;
}

function hoursBetween(from: string, to: string): number {
  return (Date.parse(to) - Date.parse(from)) / 3_600_000;
}
