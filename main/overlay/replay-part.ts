import { randomUUID } from 'node:crypto';
import { AppError } from '../../shared-lib/app-error.ts';
import type { RequestResult, TorqueUnit } from '../../shared-lib/api-contract.ts';
import { drawnSign } from '../../shared-lib/charts/drawn-sign.ts';
import { resultFigures } from '../../shared-lib/overlay/overlay-figures.ts';
import type { OverlayFrame, Replay } from '../../shared-lib/overlay/overlay-model.ts';
import { colourTrials, labelTrials } from '../../shared-lib/overlay/replay-curves.ts';
import { displayTorque, type TorqueDisplay } from '../../shared-lib/torque-display.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import type { ShareTools } from '../share-tools.ts';

export type ReplayFrame = Extract<OverlayFrame, { kind: 'replay' }>;

/** Twice the columns of the overlay's curve. */
const BINS = 2400;

/**
 * Stored trials as the overlay replays them, from `startAtUs` on.
 *
 * Errors: AppError 'trial-not-found'; 'invalid-state' for a trial that was never kept (blind keep) or an empty stretch;
 * 'block-corrupt'.
 */
export async function gatherReplay(
  { shown }: Pick<ShareTools, 'shown'>,
  { trialIds, fromS, toS }: Replay,
  torqueUnit: TorqueUnit,
  startAtUs: number,
): Promise<ReplayFrame> {
  if (fromS >= toS) {
    throw new AppError(
      'invalid-state',
      'The replay would end before it begins. Nothing was shown. Choose an end after its beginning.',
    );
  }
  const records: TrialRecord[] = [];
  const curves: RequestResult<'getTrialCurve'>[] = [];
  for (const trialId of trialIds) {
    const record = await shown.getTrial({ trialId });
    if (record.figures === null) throw notKept(record);
    records.push(record);
    curves.push(await shown.getTrialCurve({ trialId, fromS, toS, bins: BINS }));
  }
  const labels = labelTrials(records.map(({ summary }) => summary));
  const colours = colourTrials(records.map(({ summary }) => summary.step.toolName));
  return {
    kind: 'replay',
    runId: randomUUID(),
    startAtUs,
    fromS,
    toS,
    torqueUnit,
    decimals: displayOf(records, torqueUnit).decimals,
    isSimulated: records.some(({ summary }) => summary.isSimulated),
    curves: records.map((record, index) => ({
      label: labels[index] ?? '',
      colour: colours[index] ?? 0,
      ...pointsOf(curves[index], drawnSign(record.summary.step)),
      figure: figureOf(record, displayOf(records, torqueUnit)),
    })),
  };
}

/** In the direction of the step, as its figures are. */
function pointsOf(
  curve: RequestResult<'getTrialCurve'> | undefined,
  sign: 1 | -1,
): Pick<ReplayFrame['curves'][number], 'timeS' | 'minNm' | 'maxNm' | 'measuredNm'> {
  if (curve === undefined) throw new Error('A replayed trial has no curve');
  const { minNm, maxNm, binStartS, binWidthS } = curve;
  const timeS = minNm.map((_, index) => binStartS + (index + 0.5) * binWidthS);
  const measuredNm = measuredAt(curve, timeS);
  if (sign === 1) return { timeS, minNm, maxNm, measuredNm };
  return { timeS, minNm: negated(maxNm), maxNm: negated(minNm), measuredNm: negated(measuredNm) };
}

function negated(torqueNm: Float64Array): Float64Array {
  return torqueNm.map((value) => -value);
}

/** At each time the newest value of the measuring curve that is not later. */
function measuredAt(
  { measuringTimeS, measuringNm }: RequestResult<'getTrialCurve'>,
  timeS: Float64Array,
): Float64Array {
  let next = 0;
  return timeS.map((atS) => {
    while (next < measuringTimeS.length && (measuringTimeS[next] ?? Infinity) <= atS) next += 1;
    return measuringNm[next - 1] ?? Number.NaN;
  });
}

/** With as many decimals as the largest transducer bears, the same for all. */
function displayOf(records: readonly TrialRecord[], torqueUnit: TorqueUnit): TorqueDisplay {
  const capacities = records.flatMap(({ conditions }) => conditions.transducer.capacityNm ?? []);
  return displayTorque(torqueUnit, capacities.length === 0 ? null : Math.max(...capacities), null);
}

function figureOf({ summary, figures }: TrialRecord, display: TorqueDisplay): string | null {
  if (figures === null) return null;
  if (summary.isVoided) return 'voided';
  return resultFigures(summary.step, figures, display)[0]?.text ?? null;
}

function notKept({ summary }: TrialRecord): AppError {
  return new AppError(
    'invalid-state',
    'A trial is shown to others only once it has been kept, so that nobody picks results. Nothing was shown. Decide about it on the Bench or in the Logbook first.',
    { trialId: summary.id },
  );
}
