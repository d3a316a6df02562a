import { Link } from 'wouter';
import type { BenchStatus, TrialView } from '../../shared-lib/bench-status.ts';
import { formatDuration, formatNumber, formatRate, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import { DataList, DataRow } from '../ui/DataRow.tsx';
import { levelWords } from '../../shared-lib/level-words.ts';
import { type TorqueDisplay } from '../../shared-lib/torque-display.ts';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import { STATIC_CALIBRATION } from './bench-sentences.ts';
import { type FigureRow, highlights, kindRows, measureRow, percentPerS } from './kind-figures.ts';
import { QualityMark } from './QualityMark.tsx';
import { describeStep } from './step-words.ts';
import './result-panel.css';

export interface ResultPanelProps {
  readonly trial: Extract<TrialView, { phase: 'kept' }>;
  readonly calibration: BenchStatus['calibration'];
}

/** A kept trial: first whether it can be believed, then its figures. */
export function ResultPanel({ trial, calibration }: ResultPanelProps) {
  const display = useTorqueDisplay();
  const { figures, isVoided } = trial;
  const said = isVoided ? [] : highlights(trial.step, figures, display);
  return (
    <section className="result-panel" aria-label="Result">
      <QualityMark quality={figures.quality} isVoided={isVoided} />
      {said.length === 0 ? null : (
        <ul className="result-panel-highlights">
          {said.map((sentence) => (
            <li key={sentence}>{sentence}</li>
          ))}
        </ul>
      )}
      <p className="result-panel-note">
        <strong>
          {describeStep(trial.step)}, {isVoided ? 'voided' : 'kept'}.
        </strong>{' '}
        {STATIC_CALIBRATION} {uncertaintyOf(figures, calibration)}{' '}
        <Link href={`/logbook/${trial.trialId}`}>Open in the Logbook</Link>
      </p>
      <DataList label="Figures">
        {rowsOf(trial, display).map((row) => (
          <FigureRowView key={row.name} row={row} />
        ))}
      </DataList>
    </section>
  );
}

/** That of the calibration in use says nothing of figures that another one gave. */
function uncertaintyOf(
  { calibrationId }: ResultPanelProps['trial']['figures'],
  calibration: ResultPanelProps['calibration'],
): string {
  if (calibration !== null && calibration.id !== calibrationId)
    return 'It was read by another calibration than the one in use now; its page states the uncertainty.';
  return describeUncertainty(calibration);
}

function rowsOf({ step, figures }: ResultPanelProps['trial'], display: TorqueDisplay): FigureRow[] {
  const seconds = (timeS: number): string => formatDuration(timeS, 2);
  // Of a torque that is let go, how it rises and what it ends with say nothing.
  if (step.kind === 'breakaway') return [...kindRows(step, figures, display), highestRow(figures, display)];
  return [
    ...kindRows(step, figures, display),
    measureRow('Final torque', figures.finalTorqueNm, display.format),
    measureRow('Still climbing', figures.stillClimbingPercentPerS, percentPerS),
    ...figures.torqueAt.map(({ atS, torqueNm }) =>
      measureRow(`Torque at ${formatNumber(atS, 0)}${THIN_SPACE}s`, torqueNm, display.format),
    ),
    ...figures.timeToLevel.map(({ levelNm, timeS }) => ({
      name: `Time to ${levelWords(levelNm, display.unit)}`,
      value: timeS === null ? 'not reached' : seconds(timeS),
      note: null,
    })),
    measureRow(`Time to 90${THIN_SPACE}% of sustained`, figures.timeTo90PercentS, seconds),
    measureRow('Blow rate', figures.blowRateHz, (rateHz) => `${formatNumber(rateHz, 1)}${THIN_SPACE}Hz`),
    highestRow(figures, display),
  ];
}

function highestRow(
  { highestReadingNm, sampleRateHz }: ResultPanelProps['trial']['figures'],
  display: TorqueDisplay,
): FigureRow {
  const row = measureRow('Highest reading', highestReadingNm, display.format);
  return row.value === null ? row : { ...row, note: `at ${formatRate(sampleRateHz)}, not for comparison` };
}

/** A measure that the curve cannot carry says why. */
function FigureRowView({ row: { name, value, note } }: { readonly row: FigureRow }) {
  return (
    <DataRow name={name} {...(value === null ? {} : { kind: 'figure' })} {...(note === null ? {} : { note })}>
      {value ?? 'no figure'}
    </DataRow>
  );
}

function describeUncertainty(calibration: BenchStatus['calibration']): string {
  const found = calibration?.foundUncertaintyPercent ?? null;
  if (found !== null) {
    return `Calibration uncertainty ±${formatNumber(found, found < 1 ? 2 : 1)}${THIN_SPACE}% at its highest step, more below.`;
  }
  const percent = calibration?.enteredUncertaintyPercent ?? null;
  return percent === null
    ? 'Calibration uncertainty not stated.'
    : `Calibration uncertainty ${percent}${THIN_SPACE}%, as entered.`;
}
