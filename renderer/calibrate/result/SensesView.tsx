import type { ReactNode } from 'react';
import type { TorqueUnit } from '../../../shared-lib/api-contract.ts';
import type { CalibrationResult, SenseResult } from '../../../shared-lib/calibration/result-model.ts';
import type { CalibrationRun } from '../../../shared-lib/calibration/run-model.ts';
import { residualPoints } from '../../../shared-lib/calibration/residual-points.ts';
import './result.css';
import { SenseResultView } from './SenseResultView.tsx';

export interface SensesViewProps {
  readonly result: CalibrationResult;
  readonly unit: TorqueUnit;
  /** Null: its readings are not at hand, so no residuals of single readings are drawn. */
  readonly run: Pick<CalibrationRun, 'readings' | 'taken'> | null;
  readonly isPrinted?: boolean;
  readonly fitActions?: (sense: SenseResult) => ReactNode;
}

/** The senses of a result, one beside the other where there is room. */
export function SensesView({ result, unit, run, isPrinted = false, fitActions }: SensesViewProps) {
  return (
    <div className="calibrate-result-senses">
      {result.senses.map((sense) => (
        <SenseResultView
          key={sense.sense}
          result={sense}
          unit={unit}
          points={run === null ? [] : residualPoints(run, sense)}
          isPrinted={isPrinted}
          fitActions={fitActions?.(sense)}
        />
      ))}
    </div>
  );
}

/** In plain language, for the head of a result. */
export function ResultSummary({ result }: { readonly result: CalibrationResult }) {
  return (
    <div className="calibrate-result-summary">
      {result.summary.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
    </div>
  );
}
