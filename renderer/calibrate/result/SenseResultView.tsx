import { type ReactNode, useState } from 'react';
import type { TorqueUnit } from '../../../shared-lib/api-contract.ts';
import type { SenseResult } from '../../../shared-lib/calibration/result-model.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import type { BudgetTime } from '../../../shared-lib/calibration/budget-shares.ts';
import { BudgetTable } from './BudgetTable.tsx';
import { CandidatesTable } from './CandidatesTable.tsx';
import type { ResidualPoint } from '../../../shared-lib/calibration/residual-points.ts';
import { ReadCounts } from './ReadCounts.tsx';
import { ResidualPlot } from './ResidualPlot.tsx';
import './result.css';
import { percentWords, resultTorque } from '../../../shared-lib/calibration/words/result-figures.ts';
import {
  classWords,
  degreeWords,
  FROM_MEMORY,
  lowerLimitWords,
  residualSummary,
  senseTitles,
  shareSummary,
} from '../../../shared-lib/calibration/words/result-sentences.ts';
import { ShareBars } from './ShareBars.tsx';
import { StepsTable } from './StepsTable.tsx';
import { UncertaintyCurve } from './UncertaintyCurve.tsx';

export interface SenseResultViewProps {
  readonly result: SenseResult;
  readonly unit: TorqueUnit;
  /** The readings against the fit; empty where they are not at hand. */
  readonly points: readonly ResidualPoint[];
  /** On paper nothing can be switched: the budget of the highest step at bench time stands there alone. */
  readonly isPrinted?: boolean;
  /** What may be asked for beside the rule; stands under the fit. */
  readonly fitActions?: ReactNode;
}

/** All that one sense came to: fit, steps, uncertainty and what limits it. */
export function SenseResultView({
  result,
  unit,
  points,
  isPrinted = false,
  fitActions,
}: SenseResultViewProps) {
  const [time, setTime] = useState<BudgetTime>('bench');
  const [chosenLevel, setChosenLevel] = useState<number | null>(null);
  const torque = resultTorque(result, unit);
  const step = result.steps.find(({ level }) => level === chosenLevel) ?? result.steps.at(-1);
  return (
    <section className="calibrate-result-sense" aria-label={`Result, ${result.sense}`}>
      <h3>{senseTitles[result.sense]}</h3>
      <DataList label={`What it comes to, ${result.sense}`}>
        <DataRow name="Fit" note={result.overrideReason === null ? result.degreeReason : undefined}>
          {degreeWords(result)}
          {result.overrideReason === null ? null : (
            <span className="ui-data-note">
              Chosen by hand: {result.overrideReason}. {result.degreeReason}
            </span>
          )}
        </DataRow>
        <DataRow name="Class" note={<Reasoned {...result.classification.reason} />}>
          {classWords(result, torque)}
        </DataRow>
        <DataRow name="Lower limit" note={<Reasoned {...result.lowerLimit.reason} />}>
          {lowerLimitWords(result, torque)}
        </DataRow>
        <DataRow name="Holds">
          {torque.format(result.validFromNm)} to {torque.format(result.validToNm)}
        </DataRow>
        <DataRow name="Residual of the fit" kind="figure">
          {formatNumber(result.residualStandardDeviationCounts, 1)} counts, {result.degreesOfFreedom} degrees
          of freedom
        </DataRow>
        <OptionalPercent name="Zero after unloading, largest" percent={result.zeroReturnPercent} />
        <OptionalPercent name="Creep" percent={result.creepPercent} />
        <OptionalPercent name="Bending" percent={result.bendingPercent} />
      </DataList>
      {fitActions}
      <div className="calibrate-result-pair">
        {points.length === 0 ? null : (
          <div>
            <h4>Residuals</h4>
            <ResidualPlot points={points} unit={unit} summary={residualSummary(points, torque)} />
          </div>
        )}
        <div>
          <h4>Uncertainty</h4>
          <UncertaintyCurve result={result} unit={unit} torque={torque} />
          <p className="calibrate-result-static">Static calibration; dynamic error not included.</p>
        </div>
      </div>
      <CandidatesTable result={result} />
      <h4>Steps</h4>
      <StepsTable result={result} torque={torque} />
      <h4>What limits it</h4>
      {isPrinted ? null : (
        <div className="calibrate-result-choices">
          <ChoiceField
            label="Uncertainty"
            choices={[
              { key: 'calibration', label: 'At calibration' },
              { key: 'bench', label: 'At bench time' },
            ]}
            selected={time}
            onSelect={setTime}
          />
          <SelectField
            label="Budget at"
            options={result.steps.map(({ level, torqueNm }) => ({
              key: String(level),
              label: torque.format(torqueNm),
            }))}
            selected={step === undefined ? null : String(step.level)}
            onSelect={(level) => setChosenLevel(Number(level))}
          />
        </div>
      )}
      <ShareBars
        steps={result.steps}
        time={time}
        torque={torque}
        summary={shareSummary(result, time, torque)}
      />
      {step === undefined ? null : <BudgetTable step={step} time={time} unit={unit} torque={torque} />}
      {isPrinted ? null : <ReadCounts result={result} time={time} />}
    </section>
  );
}

function Reasoned({ sentence, isFromMemory }: { readonly sentence: string; readonly isFromMemory: boolean }) {
  return (
    <>
      {sentence}
      {isFromMemory ? <span className="calibrate-result-memory">{FROM_MEMORY}</span> : null}
    </>
  );
}

function OptionalPercent({ name, percent }: { readonly name: string; readonly percent: number | null }) {
  if (percent === null) return null;
  return (
    <DataRow name={name} kind="figure">
      {percentWords(percent)}
    </DataRow>
  );
}
