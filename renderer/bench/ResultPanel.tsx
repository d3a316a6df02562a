import type { ReactNode } from 'react';
import { Link } from 'wouter';
import type { BenchStatus, TrialView } from '../../shared-lib/bench-status.ts';
import { formatDuration, formatNumber, formatRate, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import type { Measure } from '../../shared-lib/trial/trial-model.ts';
import { DataList, DataRow } from '../ui/DataRow.tsx';
import { levelWords } from '../ui/level-words.ts';
import { type TorqueDisplay, useTorqueDisplay } from '../ui/torque-display.ts';
import { describeStep, STATIC_CALIBRATION } from './bench-sentences.ts';
import { QualityMark } from './QualityMark.tsx';
import './result-panel.css';

export interface ResultPanelProps {
  readonly trial: Extract<TrialView, { phase: 'kept' }>;
  readonly calibration: BenchStatus['calibration'];
}

/** A kept trial: first whether it can be believed, then its figures. */
export function ResultPanel({ trial, calibration }: ResultPanelProps) {
  const display = useTorqueDisplay();
  const { figures, isVoided } = trial;
  return (
    <section className="result-panel" aria-label="Result">
      <QualityMark quality={figures.quality} isVoided={isVoided} />
      <p className="result-panel-note">
        <strong>
          {describeStep(trial.step)}, {isVoided ? 'voided' : 'kept'}.
        </strong>{' '}
        {STATIC_CALIBRATION} {describeUncertainty(calibration)}{' '}
        <Link href={`/logbook/${trial.trialId}`}>Open in the Logbook</Link>
      </p>
      <DataList label="Figures">
        <MeasureRow name="Final torque" measure={figures.finalTorqueNm} format={display.format} />
        {figures.torqueAt.map(({ atS, torqueNm }) => (
          <MeasureRow
            key={atS}
            name={`Torque at ${formatNumber(atS, 0)}${THIN_SPACE}s`}
            measure={torqueNm}
            format={display.format}
          />
        ))}
        <TimeRows trial={trial} display={display} />
        <MeasureRow
          name="Highest reading"
          measure={figures.highestReadingNm}
          format={display.format}
          note={`at ${formatRate(figures.sampleRateHz)}, not for comparison`}
        />
      </DataList>
    </section>
  );
}

function TimeRows({
  trial: { figures },
  display,
}: Pick<ResultPanelProps, 'trial'> & { readonly display: TorqueDisplay }) {
  return (
    <>
      {figures.timeToLevel.map(({ levelNm, timeS }) => (
        <DataRow key={levelNm} name={`Time to ${levelWords(levelNm, display.unit)}`} kind="figure">
          {timeS === null ? 'not reached' : formatDuration(timeS, 2)}
        </DataRow>
      ))}
      <MeasureRow
        name={`Time to 90${THIN_SPACE}% of sustained`}
        measure={figures.timeTo90PercentS}
        format={(timeS) => formatDuration(timeS, 2)}
      />
    </>
  );
}

interface MeasureRowProps {
  readonly name: string;
  readonly measure: Measure;
  readonly format: (value: number) => string;
  readonly note?: ReactNode;
}

/** A measure that the curve cannot carry says why. */
function MeasureRow({ name, measure, format, note }: MeasureRowProps) {
  if ('refused' in measure) {
    return (
      <DataRow name={name} note={measure.refused}>
        no figure
      </DataRow>
    );
  }
  return (
    <DataRow name={name} kind="figure" {...(note === undefined ? {} : { note })}>
      {format(measure.value)}
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
