import type { RequestParams } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import {
  formatNumber,
  formatQuantity,
  formatRate,
  formatTorqueInBothUnits,
} from '../../shared-lib/format-quantity.ts';
import { measuringWindowSamples, MIN_MEASURING_RATE_HZ } from '../../shared-lib/signal/measuring-curve.ts';
import { readingCalibrationId } from '../../shared-lib/trial/assignment.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { whyNotReadable } from '../calibration/why-not-readable.ts';
import { getCalibration } from '../storage/calibration-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import type { Assumptions } from '../storage/measure-anew.ts';

export interface WhatIf {
  readonly assumed: Assumptions;
  /** What is taken otherwise than the trial has it, in sentences; empty: nothing. */
  readonly sentences: readonly string[];
}

/**
 * What of a request differs from the trial, checked and in words.
 *
 * Errors: AppError 'calibration-not-found'; 'invalid-state' where the counts mean nothing under that calibration;
 * 'input-out-of-range' where the rate does not carry the window.
 */
export function readWhatIf(
  database: ReadableDatabase,
  trial: TrialRecord,
  asked: Omit<RequestParams<'whatIfTrial'>, 'trialId'>,
): WhatIf {
  const parts = [
    otherCalibration(database, trial, asked.calibrationId),
    otherOnset(trial, asked.onsetLevelNm),
    otherWindow(trial, asked.windowS),
  ].filter((part) => part !== null);
  return {
    assumed: parts.reduce<Assumptions>((all, { assumed }) => ({ ...all, ...assumed }), {}),
    sentences: parts.map(({ sentence }) => sentence),
  };
}

interface Assumption {
  readonly assumed: Assumptions;
  readonly sentence: string;
}

function otherCalibration(
  database: ReadableDatabase,
  trial: TrialRecord,
  calibrationId: string | null,
): Assumption | null {
  const readById = readingCalibrationId(trial);
  if (calibrationId === null || calibrationId === readById) return null;
  const calibration = getCalibration(database, calibrationId);
  const why = whyNotReadable(trial, calibration, getCalibration(database, trial.conditions.calibrationId));
  if (why !== null) {
    throw new AppError(
      'invalid-state',
      `This trial ${why}. Nothing was computed, and the trial is as it was; choose another calibration.`,
      { trialId: trial.summary.id, calibrationId },
    );
  }
  return {
    assumed: { calibrationId },
    sentence: `Read by the calibration “${calibration.label}” instead of “${getCalibration(database, readById).label}”.`,
  };
}

function otherOnset({ conditions }: TrialRecord, onsetLevelNm: number | null): Assumption | null {
  if (onsetLevelNm === null || onsetLevelNm === conditions.onsetLevelNm) return null;
  return {
    assumed: { onsetLevelNm },
    sentence: `Onset at ${formatTorqueInBothUnits(onsetLevelNm, 1)} instead of ${formatTorqueInBothUnits(conditions.onsetLevelNm, 1)}.`,
  };
}

function otherWindow(trial: TrialRecord, windowS: number | null): Assumption | null {
  if (windowS === null) return null;
  const { nominalRateHz } = trial.conditions.profile;
  const usual = measuringWindowSamples(nominalRateHz);
  const least = measuringWindowSamples(nominalRateHz, 0);
  const samples = measuringWindowSamples(nominalRateHz, windowS);
  const refuse = (why: string): AppError =>
    new AppError(
      'input-out-of-range',
      `${why} Nothing was computed, and the trial is as it was; choose another window.`,
      { trialId: trial.summary.id, windowS },
    );
  if (usual === null || least === null || samples === null) {
    throw refuse(`There is no measuring curve under ${formatRate(MIN_MEASURING_RATE_HZ)}.`);
  }
  const inMs = (count: number): string =>
    formatQuantity(count / nominalRateHz, 'ms', count / nominalRateHz < 0.02 ? 1 : 0);
  if (samples === least && windowS < (least - 1) / nominalRateHz) {
    throw refuse(
      `At ${formatRate(nominalRateHz)} the shortest window is ${formatNumber(least, 0)} samples, ${inMs(least)}.`,
    );
  }
  if (samples === usual) return null;
  return {
    assumed: { windowS },
    sentence: `Measuring curve over ${inMs(samples)} (${formatNumber(samples, 0)} samples) instead of ${inMs(usual)} (${formatNumber(usual, 0)}).`,
  };
}
