import { useEffect, useEffectEvent, useLayoutEffect, useMemo, useRef, useState } from 'react';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { fromOwnUnit } from '../../shared-lib/format-quantity.ts';
import { useRequest } from '../api-client/use-request.ts';
import { curveColorIndex, readCurveColors, watchTheme } from '../live-curve/curve-style.ts';
import { Button } from '../ui/Button.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { ActionRow, Panel } from '../ui/Panel.tsx';
import { Switch } from '../ui/Toggles.tsx';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import { type CurveWindow, fitWindow, shiftWindow, zoomWindow } from './curve-window.ts';
import { type CurveChoice, TrialChart, type TrialPicture } from './trial-chart.ts';
import { faultsOnTimeLine, summariseTrial } from './trial-sentences.ts';

const FONT_PX = 13;
/** Widths are rounded to this, so that dragging the window's edge does not ask for a new curve at every pixel. */
const BIN_STEP = 50;
const MIN_BINS = 100;
const MAX_BINS = 4000;

/** The stored curve with its zoom. What is in sight is fetched in as many bins as the picture is wide. */
export function TrialCurvePanel({ record }: { readonly record: TrialRecord }) {
  const trialId = record.summary.id;
  const torque = useTorqueDisplay();
  const hostRef = useRef<HTMLDivElement>(null);
  const bins = useBins(hostRef);
  const [window, setWindow] = useState<CurveWindow | null>(null);
  const [choice, setChoice] = useState<CurveChoice>({ raw: true, display: false, measuring: true });
  const { result: curve, error } = useRequest(
    'getTrialCurve',
    bins === null ? null : { trialId, fromS: window?.fromS ?? null, toS: window?.toS ?? null, bins },
  );

  const colorIndex = curveColorIndex(record.summary.step.toolName);
  const picture = useMemo((): Omit<TrialPicture, 'colors'> | null => {
    if (curve === null) return null;
    const faults = faultsOnTimeLine(record.faults, curve.startS);
    return {
      curve,
      choice,
      window: window ?? { fromS: curve.startS, toS: curve.endS },
      plannedS: record.summary.step.plannedS,
      faults: faults.flatMap(({ number, timeS }) => (timeS === null ? [] : [{ number, timeS }])),
      shownPerNm: fromOwnUnit(1, torque.unit),
      unitLabel: torque.unitLabel,
      colorIndex,
      fontPx: FONT_PX,
    };
  }, [curve, choice, window, record, colorIndex, torque.unit, torque.unitLabel]);

  const whole = curve === null ? null : { fromS: curve.startS, toS: curve.endS };
  const rateHz = curve?.sampleRateHz ?? 1;
  const change = (next: (seen: CurveWindow, whole: CurveWindow) => CurveWindow | null) => {
    if (whole !== null) setWindow(next(window ?? whole, whole));
  };
  const lookAt = (wanted: CurveWindow) => change((_, all) => fitWindow(wanted, all, rateHz));
  useChart(hostRef, picture, lookAt);

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
      <div ref={hostRef} className="trial-chart" />
      <CurveChoices
        choice={choice}
        onChoice={setChoice}
        hasDisplay={curve === null || curve.displayNm.length > 0}
        colorIndex={colorIndex}
      />
    </Panel>
  );
}

interface CurveChoicesProps {
  readonly choice: CurveChoice;
  readonly onChoice: (choice: CurveChoice) => void;
  readonly hasDisplay: boolean;
  readonly colorIndex: number;
}

function CurveChoices({ choice, onChoice, hasDisplay, colorIndex }: CurveChoicesProps) {
  return (
    <div className="trial-choices" role="group" aria-label="Curves in the picture">
      <Switch isSelected={choice.measuring} onChange={(measuring) => onChoice({ ...choice, measuring })}>
        <CurveSample kind="measuring" colorIndex={colorIndex} /> Measuring curve, which all figures come from
      </Switch>
      <Switch isSelected={choice.raw} onChange={(raw) => onChoice({ ...choice, raw })}>
        <CurveSample kind="raw" /> Raw samples, least to greatest
      </Switch>
      <Switch
        isSelected={choice.display && hasDisplay}
        onChange={(display) => onChoice({ ...choice, display })}
        isDisabled={!hasDisplay}
      >
        <CurveSample kind="display" /> Display curve, 20 Hz low-pass, for the eye only
      </Switch>
      <p className="trial-aside">Drag across the picture to look closer.</p>
    </div>
  );
}

interface CurveSampleProps {
  readonly kind: 'measuring' | 'raw' | 'display';
  /** Left out: the colour of the text. */
  readonly colorIndex?: number;
}

function CurveSample({ kind, colorIndex }: CurveSampleProps) {
  const stroke = colorIndex === undefined ? {} : { style: { stroke: `var(--curve-${colorIndex + 1})` } };
  return (
    <svg className={`trial-sample trial-sample-${kind}`} viewBox="0 0 32 16" aria-hidden="true">
      {kind === 'raw' ? <rect x="1" y="3" width="30" height="10" /> : <path d="M1 8h30" {...stroke} />}
    </svg>
  );
}

/** About the width of the picture in CSS pixels; null before it is known. */
function useBins(hostRef: React.RefObject<HTMLDivElement | null>): number | null {
  const [bins, setBins] = useState<number | null>(null);
  useEffect(() => {
    const host = hostRef.current;
    if (host === null) return undefined;
    const observer = new ResizeObserver(() => {
      const rounded = Math.round(host.clientWidth / BIN_STEP) * BIN_STEP;
      setBins(Math.min(Math.max(rounded, MIN_BINS), MAX_BINS));
    });
    observer.observe(host);
    return () => observer.disconnect();
  }, [hostRef]);
  return bins;
}

function useChart(
  hostRef: React.RefObject<HTMLDivElement | null>,
  picture: Omit<TrialPicture, 'colors'> | null,
  onWindow: (window: CurveWindow) => void,
): void {
  const chartRef = useRef<TrialChart | null>(null);
  const choose = useEffectEvent(onWindow);
  const draw = useEffectEvent(() => {
    const host = hostRef.current;
    if (host === null || picture === null) return;
    const whole = { ...picture, colors: readCurveColors(host) };
    if (chartRef.current !== null) {
      chartRef.current.show(whole);
      return;
    }
    const canvas = document.createElement('canvas');
    // The panel's lead says the same in words.
    canvas.setAttribute('aria-hidden', 'true');
    host.append(canvas);
    chartRef.current = new TrialChart(canvas, whole, (window) => choose(window));
  });
  useLayoutEffect(() => draw(), [picture]);
  useEffect(() => watchTheme(() => draw()), []);
  useEffect(() => {
    const host = hostRef.current;
    return () => {
      chartRef.current?.destroy();
      chartRef.current = null;
      host?.replaceChildren();
    };
  }, [hostRef]);
}
