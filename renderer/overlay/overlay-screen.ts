import { formatNumber, formatTorque, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import type { CurvePoints } from '../../shared-lib/overlay/curve-points.ts';
import type { OverlaySettings } from '../../shared-lib/overlay/overlay-model.ts';
import { colorsOf } from './overlay-colors.ts';
import type { FrameScreen, ReplayFrame, RunFrame } from './shown-frames.ts';
import { TraceCanvas } from './trace-canvas.ts';
import './overlay.css';

const BEFORE_ONSET_S = 0.5;
const AFTER_END_S = 1;
const REPLAY_WORDS = 'each from its onset, at true speed';
const RESULT_WORDS = 'what each run came to';

/** What a camera's picture is laid over: names, figures, time and curve, past any framework, as samples come. */
export class OverlayScreen implements FrameScreen {
  readonly #root: HTMLElement;
  readonly #tool = part('p', 'overlay-tool');
  readonly #step = part('p', 'overlay-step');
  readonly #mark = part('p', 'overlay-mark');
  readonly #figures = part('div', 'overlay-figures');
  readonly #time = part('p', 'overlay-time');
  readonly #legend = part('ul', 'overlay-legend');
  readonly #note = part('p', 'overlay-note');
  readonly #trace: TraceCanvas;
  readonly #resized = new ResizeObserver(() => this.#trace.fit());
  #run: RunFrame | null = null;
  #replay: { readonly frame: ReplayFrame; readonly shown: number[] } | null = null;
  #newestS: number | null = null;

  constructor(host: HTMLElement) {
    this.#root = part('div', 'overlay');
    const words = part('div', 'overlay-words');
    const head = part('div', 'overlay-head');
    const curve = part('div', 'overlay-curve');
    head.append(this.#tool, this.#step, this.#mark);
    words.append(head, this.#legend, this.#figures, this.#time, this.#note);
    this.#root.append(words, curve);
    host.append(this.#root);
    this.#note.textContent = 'static calibration; dynamic error not included';
    this.#trace = new TraceCanvas(curve, colorsOf('onDark'));
    this.setVisible(false);
    this.#resized.observe(curve);
  }

  remove(): void {
    this.#resized.disconnect();
    this.#root.remove();
  }

  setVisible(isVisible: boolean): void {
    this.#root.hidden = !isVisible;
    if (isVisible) this.#trace.fit();
  }

  setLook({ layout, theme }: Pick<OverlaySettings, 'layout' | 'theme'>): void {
    this.#root.dataset['layout'] = layout;
    this.#root.dataset['theme'] = theme;
    this.#trace.setColors(colorsOf(theme));
  }

  showRun(run: RunFrame): void {
    const before = this.#run;
    this.#replay = null;
    this.#run = run;
    if (before?.runId !== run.runId || this.#root.dataset['kind'] !== 'run') {
      this.#newestS = null;
      this.#trace.begin(
        { fromS: -BEFORE_ONSET_S, toS: run.plannedS + AFTER_END_S, torqueUnit: run.torqueUnit },
        [0],
      );
    }
    this.#trace.setUnit(run.torqueUnit);
    this.#root.dataset['kind'] = 'run';
    this.#root.dataset['phase'] = run.phase;
    setText(this.#tool, run.toolName);
    setText(this.#step, run.stepWords);
    setText(this.#mark, run.isSimulated ? 'simulated bench' : '');
    this.#legend.replaceChildren();
    this.#showFigures(run.figures);
    this.#showTime(run.phase === 'running' || run.phase === 'over' ? this.#newestS : null, run.plannedS);
  }

  showPoints(points: CurvePoints): void {
    if (this.#run === null || this.#replay !== null) return;
    this.#trace.append(0, points);
    this.#newestS = points.timeS.at(-1) ?? this.#newestS;
    this.#showTime(this.#newestS, this.#run.plannedS);
  }

  showReplay(frame: ReplayFrame): void {
    this.#replay = { frame, shown: frame.curves.map(() => 0) };
    this.#root.dataset['kind'] = 'replay';
    this.#root.dataset['phase'] = 'replay';
    setText(this.#tool, 'Replay');
    setText(this.#step, REPLAY_WORDS);
    setText(this.#mark, frame.isSimulated ? 'simulated bench' : '');
    this.#figures.replaceChildren();
    this.#trace.begin(
      frame,
      frame.curves.map(({ colour }) => colour),
    );
    this.#legend.replaceChildren(
      ...frame.curves.map(({ label, colour }) => {
        const entry = part('li', 'overlay-legend-entry');
        entry.dataset['curve'] = String(colour + 1);
        const torque = part('span', 'overlay-legend-figure');
        entry.append(part('span', 'overlay-legend-line'), text('overlay-legend-label', label), torque);
        return entry;
      }),
    );
    this.#showTime(frame.fromS, frame.toS);
  }

  /** With every frame of the page: `shownUs` is the instant of the host in sight. */
  advance(shownUs: number): void {
    if (this.#replay === null) return;
    const { frame, shown } = this.#replay;
    const atS = Math.min(frame.toS, frame.fromS + (shownUs - frame.startAtUs) / 1e6);
    frame.curves.forEach(({ timeS, minNm, maxNm }, index) => {
      const from = shown[index] ?? 0;
      let to = from;
      while (to < timeS.length && (timeS[to] ?? Infinity) <= atS) to += 1;
      if (to === from) return;
      this.#trace.append(index, {
        timeS: timeS.subarray(from, to),
        minNm: minNm.subarray(from, to),
        maxNm: maxNm.subarray(from, to),
      });
      shown[index] = to;
    });
    this.#showReplayFigures(frame, shown, atS >= frame.toS);
    this.#showTime(atS, frame.toS);
  }

  /** The torque of the moment, and at the end what each came to. */
  #showReplayFigures(frame: ReplayFrame, shown: readonly number[], isOver: boolean): void {
    [...this.#legend.children].forEach((entry, index) => {
      const figure = entry.querySelector('.overlay-legend-figure');
      const curve = frame.curves[index];
      if (figure === null || curve === undefined) return;
      const measuredNm = curve.measuredNm[(shown[index] ?? 0) - 1] ?? Number.NaN;
      const now = Number.isNaN(measuredNm) ? '' : formatTorque(measuredNm, frame.torqueUnit, frame.decimals);
      setText(figure, isOver ? (curve.figure ?? '') : now);
    });
    setText(this.#step, isOver ? RESULT_WORDS : REPLAY_WORDS);
  }

  #showFigures(figures: RunFrame['figures']): void {
    while (this.#figures.children.length > figures.length) this.#figures.lastElementChild?.remove();
    figures.forEach(({ label, text: digits }, index) => {
      let figure = this.#figures.children[index];
      if (figure === undefined) {
        figure = part('div', 'overlay-figure');
        figure.append(text('overlay-figure-text', ''), text('overlay-figure-label', ''));
        this.#figures.append(figure);
      }
      const [digitsPart, labelPart] = figure.children;
      if (digitsPart !== undefined) setText(digitsPart, digits);
      if (labelPart !== undefined) setText(labelPart, label);
    });
  }

  #showTime(atS: number | null, endS: number): void {
    setText(
      this.#time,
      atS === null ? '' : `time ${formatNumber(Math.min(Math.max(0, atS), endS), 2)}${THIN_SPACE}s`,
    );
  }
}

function part(name: 'p' | 'div' | 'ul' | 'li' | 'span', className: string): HTMLElement {
  const element = document.createElement(name);
  element.className = className;
  return element;
}

function text(className: string, content: string): HTMLElement {
  const element = part('span', className);
  element.textContent = content;
  return element;
}

function setText(element: Element, content: string): void {
  if (element.textContent !== content) element.textContent = content;
}
