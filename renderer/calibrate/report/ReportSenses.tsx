import type { TorqueUnit } from '../../../shared-lib/api-contract.ts';
import type { CalibrationResult, SenseResult } from '../../../shared-lib/calibration/result-model.ts';
import type { CalibrationRun } from '../../../shared-lib/calibration/run-model.ts';
import { formatNumber, fromOwnUnit, unitLabel } from '../../../shared-lib/format-quantity.ts';
import { LinePicture } from '../../ui/picture/LinePicture.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { fittedCounts, residualPoints } from '../../../shared-lib/calibration/residual-points.ts';
import { resultTorque } from '../../../shared-lib/calibration/words/result-figures.ts';
import { degreeWords, senseTitles } from '../../../shared-lib/calibration/words/result-sentences.ts';
import { SenseResultView } from '../result/SenseResultView.tsx';

interface ReportSensesProps {
  readonly result: CalibrationResult;
  readonly run: CalibrationRun | null;
}

/** Each sense with its curve, then all that it came to. */
export function ReportSenses({ result, run }: ReportSensesProps) {
  const { unit } = useTorqueDisplay();
  return result.senses.map((sense) => (
    <section key={sense.sense} className="report-section report-sense">
      <h2>{senseTitles[sense.sense]}</h2>
      <Curve sense={sense} unit={unit} />
      <SenseResultView
        result={sense}
        unit={unit}
        points={run === null ? [] : residualPoints(run, sense)}
        isPrinted
      />
    </section>
  ));
}

const CURVE_POINTS = 60;
const SIZE = { width: 680, height: 260 };

function Curve({ sense, unit }: { readonly sense: SenseResult; readonly unit: TorqueUnit }) {
  const torque = resultTorque(sense, unit);
  const summary =
    `Deflection in counts over torque, ${sense.sense}: ${degreeWords(sense).toLowerCase()}, ` +
    `${sense.steps.length} levels up to ${torque.format(sense.validToNm)}.`;
  const curve = Array.from({ length: CURVE_POINTS + 1 }, (_, index) => {
    const torqueNm = (sense.validToNm * index) / CURVE_POINTS;
    return { x: fromOwnUnit(torqueNm, unit), y: fittedCounts(sense, torqueNm) };
  });
  const highest = sense.steps.at(-1);
  return (
    <figure className="report-figure">
      <LinePicture
        summary={summary}
        size={SIZE}
        xTitle={`torque, ${unitLabel(unit)}`}
        yTitle="deflection, counts"
        lines={[{ label: 'fit', look: 'solid', color: null, points: curve }]}
        marks={sense.steps.map((step) => ({
          x: fromOwnUnit(Math.abs(step.torqueNm), unit),
          y: step.meanDeflectionCounts,
          shape: 'ring',
        }))}
      />
      <figcaption>
        {summary} Rings: mean of the increasing series
        {highest === undefined
          ? ''
          : `; at ${torque.format(Math.abs(highest.torqueNm))} ${formatNumber(highest.meanDeflectionCounts, 1)} counts`}
        .
      </figcaption>
    </figure>
  );
}
