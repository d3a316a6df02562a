import { memo, type RefObject, useCallback, useMemo, useRef, useState } from 'react';
import { readingCalibrationId } from '../../../shared-lib/trial/assignment.ts';
import type { TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { fromOwnUnit } from '../../../shared-lib/format-quantity.ts';
import { hasDisplayCurve } from '../../../shared-lib/signal/butterworth.ts';
import { faultsOnTimeLine, summariseTrial } from '../../../shared-lib/trial/words/trial-sentences.ts';
import { curveColorIndex } from '../../live-curve/curve-style.ts';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { momentsOf } from '../trial/moments.ts';
import { type CurveWindow, fitWindow, type LookStep, stepWindow } from './curve-window.ts';
import { CurveChoices } from './CurveChoices.tsx';
import { CurveReadout } from './CurveReadout.tsx';
import { LookButtons } from './LookButtons.tsx';
import type { CurveChoice, TimeMark } from './paint-curve.ts';
import { PictureActions } from './PictureActions.tsx';
import { readCurve, readingWords } from './read-curve.ts';
import type { PictureContent, TrialChart } from './trial-chart.ts';
import { type Drag, useCurveCursor } from './use-curve-cursor.ts';
import { useCurveInSight } from './use-curve-in-sight.ts';
import { useBins, useTrialChart } from './use-trial-chart.ts';
import { SelectionFigures, WindowFigures } from './WindowFigures.tsx';

const FONT_PX = 13;

interface TrialCurvePanelProps {
  readonly record: TrialRecord;
  /** By which calibration the torque is read, in a sentence. */
  readonly readBy: string;
}

/** The stored curve with its zoom. What is in sight is fetched in as many bins as the picture is wide. */
export function TrialCurvePanel({ record, readBy }: TrialCurvePanelProps) {
  const trialId = record.summary.id;
  const torque = useTorqueDisplay();
  const hostRef = useRef<HTMLDivElement>(null);
  const bins = useBins(hostRef);
  const [drag, setDrag] = useState<Drag>('closer');
  const [choice, setChoice] = useState<CurveChoice>({ raw: true, display: false, measuring: true });
  const hasFigures = record.figures !== null;
  const { inSight, error, look } = useCurveInSight({
    trialId,
    calibrationId: readingCalibrationId(record),
    bins,
    withDisplay: choice.display,
    withFigures: hasFigures,
  });
  const step = useCallback(
    (kind: LookStep) => look((seen, whole, rateHz) => stepWindow(kind, seen, whole, rateHz)),
    [look],
  );
  const lookAt = (wanted: CurveWindow) => look((_, whole, rateHz) => fitWindow(wanted, whole, rateHz));
  const curve = inSight?.curve ?? null;
  const stepS = curve?.binWidthS ?? 1;

  const colorIndex = curveColorIndex(record.summary.step.toolName);
  const startS = curve?.startS ?? 0;
  const marks = useMemo(() => marksOf(record, startS), [record, startS]);
  const content = useMemo((): PictureContent | null => {
    if (inSight === null) return null;
    return {
      curve: inSight.curve,
      choice,
      window: inSight.window,
      marks,
      shownPerNm: fromOwnUnit(1, torque.unit),
      unitLabel: torque.unitLabel,
      colorIndex,
      fontPx: FONT_PX,
    };
  }, [inSight, choice, marks, colorIndex, torque.unit, torque.unitLabel]);

  const { cursorS, selected, marked, clearSelection, handlers } = useCurveCursor(
    inSight === null ? null : { window: inSight.window, stepS },
    drag,
    lookAt,
  );
  // Torque is read out once the figures may be seen: until then nobody is to pick results by it.
  const shownTorque = hasFigures ? torque : null;
  const reading = useMemo(
    () => (curve === null || cursorS === null ? null : readCurve(curve, cursorS)),
    [curve, cursorS],
  );
  const overlay = useMemo(() => ({ reading, selected: marked }), [reading, marked]);
  const chartRef = useTrialChart(hostRef, content, overlay);
  const words = reading === null ? null : readingWords(reading, stepS, shownTorque);

  return (
    <Panel
      title="Curve"
      lead={summariseTrial(record, torque.format)}
      actions={<LookButtons isWhole={inSight?.isWhole ?? true} onStep={step} />}
    >
      <FailureNotice error={error} />
      <div
        className={`trial-chart trial-chart-${drag}`}
        role="slider"
        tabIndex={0}
        aria-label="Cursor on the curve, in seconds from onset"
        aria-valuemin={inSight?.window.fromS ?? 0}
        aria-valuemax={inSight?.window.toS ?? 0}
        aria-valuenow={cursorS ?? 0}
        aria-valuetext={
          words === null
            ? 'no cursor yet'
            : `${words.time}, measuring curve ${words.measuring}, raw ${words.raw}`
        }
        {...handlers(chartRef)}
      >
        <div ref={hostRef} className="trial-chart-host" />
      </div>
      <CurveReadout curve={curve} reading={reading} torque={shownTorque} />
      {selected !== null && shownTorque !== null ? (
        <SelectionFigures
          trialId={trialId}
          selected={selected}
          stepS={stepS}
          onLookCloser={() => {
            lookAt(selected);
            clearSelection();
          }}
          onClear={clearSelection}
        />
      ) : null}
      {selected === null && shownTorque !== null && curve !== null ? (
        <WindowFigures title="Raw samples in sight" figures={curve.figures ?? null} stepS={stepS} />
      ) : null}
      <CurveChoices
        choice={choice}
        onChoice={setChoice}
        hasDisplay={curve === null || hasDisplayCurve(curve.sampleRateHz)}
        colorIndex={colorIndex}
      />
      <PictureChoices
        record={record}
        chartRef={chartRef}
        choice={choice}
        colorIndex={colorIndex}
        readBy={readBy}
        drag={drag}
        onDrag={setDrag}
      />
    </Panel>
  );
}

const dragChoices = [
  { key: 'closer', label: 'looks closer' },
  { key: 'select', label: 'selects' },
] as const;

interface PictureChoicesProps {
  readonly record: TrialRecord;
  readonly chartRef: RefObject<TrialChart | null>;
  readonly choice: CurveChoice;
  readonly colorIndex: number;
  readonly readBy: string;
  readonly drag: Drag;
  readonly onDrag: (drag: Drag) => void;
}

/** Nothing of it changes with a step. */
const PictureChoices = memo(function PictureChoices({ drag, onDrag, ...picture }: PictureChoicesProps) {
  return (
    <div className="trial-choices">
      <ChoiceField<Drag>
        label="A drag across the picture"
        choices={dragChoices}
        selected={drag}
        onSelect={onDrag}
      />
      <PictureActions {...picture} />
    </div>
  );
});

function marksOf(record: TrialRecord, recordStartS: number): TimeMark[] {
  const moments = momentsOf(record, () => '').flatMap(({ timeS, label }) =>
    label === null ? [] : [{ timeS, label, isFault: false }],
  );
  const faults = faultsOnTimeLine(record.faults, recordStartS).flatMap(({ number, timeS }) =>
    timeS === null ? [] : [{ timeS, label: `fault ${number}`, isFault: true }],
  );
  return [...moments, ...faults];
}
