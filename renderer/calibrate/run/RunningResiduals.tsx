import type { CalibrationRun } from '../../../shared-lib/calibration/run-model.ts';
import { formatNumber, fromOwnUnit, THIN_SPACE, unitLabel } from '../../../shared-lib/format-quantity.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Panel } from '../../ui/Panel.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { provisionalResiduals, residualPoints } from '../../../shared-lib/calibration/residual-points.ts';
import { ResidualPlot } from '../result/ResidualPlot.tsx';
import {
  degreeWords,
  residualSummary,
  senseTitles,
} from '../../../shared-lib/calibration/words/result-sentences.ts';

/** Residuals as they come in, each sense beside the other; of the fit where there is enough for one. */
export function RunningResiduals({ run }: { readonly run: CalibrationRun }) {
  const { unit } = useTorqueDisplay();
  // What cannot be fitted yet is answered with why; the straight line below stands in for it.
  const { result } = useRequest('evaluateRun', { runId: run.id, overrides: [] }, 'calibrationRunChanged');
  const format = (torqueNm: number) =>
    `${formatNumber(fromOwnUnit(torqueNm, unit), 1)}${THIN_SPACE}${unitLabel(unit)}`;
  const torque = { format, number: format, unitLabel: unitLabel(unit) };
  return (
    <Panel title="Residuals so far" lead="Each loaded reading against the fit of those taken until now.">
      <div className="run-residuals">
        {run.setup.senses.map((sense) => {
          const fit = result?.senses.find((one) => one.sense === sense);
          const points = fit === undefined ? provisionalResiduals(run, sense) : residualPoints(run, fit);
          return (
            <section key={sense} aria-label={`Residuals, ${sense}`}>
              <h3>{senseTitles[sense]}</h3>
              {points.length === 0 ? (
                <p className="run-aside">Shown from the second level on.</p>
              ) : (
                <ResidualPlot
                  points={points}
                  unit={unit}
                  summary={`${residualSummary(points, torque)} ${fit === undefined ? 'Against a straight line for now.' : `${degreeWords(fit)}.`}`}
                />
              )}
            </section>
          );
        })}
      </div>
    </Panel>
  );
}
