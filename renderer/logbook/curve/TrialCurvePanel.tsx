import { useMemo, useRef, useState } from 'react';
import type { TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { fromOwnUnit } from '../../../shared-lib/format-quantity.ts';
import { hasDisplayCurve } from '../../../shared-lib/signal/butterworth.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { curveColorIndex } from '../../live-curve/curve-style.ts';
import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { useCopy } from '../copying/use-copy.ts';
import { momentsOf } from '../trial/moments.ts';
import { faultsOnTimeLine, summariseTrial } from '../../../shared-lib/trial/words/trial-sentences.ts';
import { selectedWindow } from './curve-cursor.ts';
import { type CurveWindow, fitWindow, shiftWindow, zoomWindow } from './curve-window.ts';
import { CurveChoices } from './CurveChoices.tsx';
import { CurveReadout } from './CurveReadout.tsx';
import { PictureActions } from './PictureActions.tsx';
import { readCurve, readingWords } from './read-curve.ts';
import type { CurveChoice, TimeMark, TrialPicture } from './trial-chart.ts';
import { useCurveCursor } from './use-curve-cursor.ts';
import { useBins, useTrialChart } from './use-trial-chart.ts';
import { WindowFigures } from './WindowFigures.tsx';

const FONT_PX = 13;

const dragChoices = [
  { key: 'closer', label: 'looks closer' },
  { key: 'select', label: 'selects' },
] as const;
type Drag = (typeof dragChoices)[number]['key'];

interface TrialCurvePanelProps {
  readonly record: TrialRecord;
  /** By which calibration the torque is read, in a sentence. */
  readonly readBy: string;
}

/** The stored curve with its zoom. What is in sight is fetched in as many bins as the picture is wide. */
export function TrialCurvePanel({ record, readBy }: TrialCurvePanelProps) {
  const trialId = record.summary.id;
  const torque = useTorqueDisplay();
  const copier = useCopy();
  const hostRef = useRef<HTMLDivElement>(null);
  const bins = useBins(hostRef);
  const [window, setWindow] = useState<CurveWindow | null>(null);
  const [drag, setDrag] = useState<Drag>('closer');
  const [choice, setChoice] = useState<CurveChoice>({ raw: true, display: false, measuring: true });
  const {
    result: curve,
    error,
    isLoading,
  } = useRequest(
    'getTrialCurve',
    bins === null
      ? null
      : {
          trialId,
          fromS: window?.fromS ?? null,
          toS: window?.toS ?? null,
          bins,
          withDisplay: choice.display,
        },
  );
  // The picture moves once its curve has come: drawn before and after, each step would cost twice.
  const [drawnWindow, setDrawnWindow] = useState<CurveWindow | null>(null);
  if (!isLoading && drawnWindow !== window) setDrawnWindow(window);

  const colorIndex = curveColorIndex(record.summary.step.toolName);
  const picture = useMemo((): Omit<TrialPicture, 'colors'> | null => {
    if (curve === null) return null;
    return {
      curve,
      choice,
      window: drawnWindow ?? { fromS: curve.startS, toS: curve.endS },
      marks: marksOf(record, curve.startS),
      isDragCloser: drag === 'closer',
      shownPerNm: fromOwnUnit(1, torque.unit),
      unitLabel: torque.unitLabel,
      colorIndex,
      fontPx: FONT_PX,
    };
  }, [curve, choice, drawnWindow, record, drag, colorIndex, torque.unit, torque.unitLabel]);

  const whole = curve === null ? null : { fromS: curve.startS, toS: curve.endS };
  const rateHz = curve?.sampleRateHz ?? 1;
  const change = (next: (seen: CurveWindow, whole: CurveWindow) => CurveWindow | null) => {
    if (whole !== null) setWindow(next(window ?? whole, whole));
  };
  const lookAt = (wanted: CurveWindow) => change((_, all) => fitWindow(wanted, all, rateHz));

  const stepS = curve?.binWidthS ?? 1;
  const inSight = drawnWindow ?? whole;
  const { cursor, clearSelection, handlers } = useCurveCursor(
    inSight === null ? null : { window: inSight, stepS },
    drag === 'select',
  );
  const { cursorS } = cursor;
  const selected = selectedWindow(cursor);
  // Torque is read out once the figures may be seen: until then nobody is to pick results by it.
  const shownTorque = record.figures === null ? null : torque;
  const reading = useMemo(
    () => (curve === null || cursorS === null ? null : readCurve(curve, cursorS)),
    [curve, cursorS],
  );
  const overlay = useMemo(() => ({ reading, selected: selectedWindow(cursor) }), [reading, cursor]);
  const chartRef = useTrialChart(hostRef, picture, overlay, lookAt);
  const words = reading === null ? null : readingWords(reading, stepS, shownTorque);

  return (
    <Panel
      title="Curve"
      lead={summariseTrial(record, torque.format)}
      actions={
        <ActionRow>
          <Button onPress={() => change((seen, all) => zoomWindow(seen, all, 0.5, rateHz))}>Closer</Button>
          <Button
            onPress={() => change((seen, all) => zoomWindow(seen, all, 2, rateHz))}
            isDisabled={window === null}
          >
            Wider
          </Button>
          <Button
            onPress={() => change((seen, all) => shiftWindow(seen, all, -0.5, rateHz))}
            isDisabled={window === null}
          >
            Earlier
          </Button>
          <Button
            onPress={() => change((seen, all) => shiftWindow(seen, all, 0.5, rateHz))}
            isDisabled={window === null}
          >
            Later
          </Button>
          <Button onPress={() => setWindow(null)} isDisabled={window === null}>
            Whole trial
          </Button>
        </ActionRow>
      }
    >
      <FailureNotice error={error} />
      <div
        className={`trial-chart trial-chart-${drag}`}
        role="slider"
        tabIndex={0}
        aria-label="Cursor on the curve, in seconds from onset"
        aria-valuemin={inSight?.fromS ?? 0}
        aria-valuemax={inSight?.toS ?? 0}
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
      {shownTorque === null || inSight === null ? null : (
        <WindowFigures
          trialId={trialId}
          window={selected ?? window ?? inSight}
          isSelection={selected !== null}
          stepS={stepS}
          copier={copier}
          onLookCloser={() => {
            if (selected !== null) lookAt(selected);
            clearSelection();
          }}
          onClear={clearSelection}
        />
      )}
      <CurveChoices
        choice={choice}
        onChoice={setChoice}
        hasDisplay={curve === null || hasDisplayCurve(curve.sampleRateHz)}
        colorIndex={colorIndex}
      />
      <div className="trial-choices">
        <ChoiceField<Drag>
          label="A drag across the picture"
          choices={dragChoices}
          selected={drag}
          onSelect={setDrag}
        />
        <PictureActions
          record={record}
          chartRef={chartRef}
          choice={choice}
          colorIndex={colorIndex}
          readBy={readBy}
          copier={copier}
        />
      </div>
    </Panel>
  );
}

function marksOf(record: TrialRecord, recordStartS: number): TimeMark[] {
  const moments = momentsOf(record, () => '').flatMap(({ timeS, label }) =>
    label === null ? [] : [{ timeS, label, isFault: false }],
  );
  const faults = faultsOnTimeLine(record.faults, recordStartS).flatMap(({ number, timeS }) =>
    timeS === null ? [] : [{ timeS, label: `fault ${number}`, isFault: true }],
  );
  return [...moments, ...faults];
}
