import { AppError } from '../../shared-lib/app-error.ts';
import { appliedTorqueNm } from '../../shared-lib/calibration/applied-torque.ts';
import { wayOfCheck } from '../../shared-lib/calibration/check-load.ts';
import type { CheckMeans } from '../../shared-lib/calibration/daily-check-model.ts';
import type { CalibrationPart, CalibrationTools } from './calibration-tools.ts';

export type SimulatedCheckPart = CalibrationPart<'loadSimulatedCheck'>;

/** What the simulated shunt reads like, as a share of the capacity (ours). */
const SHUNT_SHARE = 0.5;

/** On the simulated bench nobody can hang a check weight; the program does. */
export function createSimulatedCheckPart({
  amplifier,
  bench,
}: Pick<CalibrationTools, 'amplifier' | 'bench'>): SimulatedCheckPart {
  const torqueNmOf = (means: CheckMeans): number => {
    if (means.kind === 'shunt') return SHUNT_SHARE * (bench.activeTransducer().capacityNm ?? 0);
    const way = wayOfCheck(bench.calibrationToUse('A check'));
    const torqueNm = appliedTorqueNm({ ...means, way });
    return means.sense === 'forward' ? torqueNm : -torqueNm;
  };
  return {
    handlers: {
      loadSimulatedCheck({ means }) {
        const { source, link } = amplifier.status();
        if (source !== 'simulated' || link !== 'connected') {
          throw new AppError(
            'invalid-state',
            'Weights are hung by the program on the simulated bench only. Nothing was changed; hang them by hand.',
          );
        }
        amplifier.hang(means === null ? 0 : torqueNmOf(means));
        return {};
      },
    },
    receive: () => undefined,
    amplifierLost: () => undefined,
    tick: () => undefined,
    close: () => undefined,
  };
}
