import type { CurveColors } from '../../live-curve/curve-style.ts';
import { type CurveLayout, type CurveMapping, layOutCurve, type PictureSize } from './curve-layout.ts';
import { curveFont, paintCurve, type TrialPicture } from './paint-curve.ts';

export type PictureContent = Omit<TrialPicture, 'colors'>;

/**
 * A stored trial on a canvas of its own in the host. It is painted whole at each change: what is in sight is never more than the
 * picture is wide, so that takes no longer than finding out what has changed.
 */
export class TrialChart {
  readonly canvas = document.createElement('canvas');
  readonly #context: CanvasRenderingContext2D;
  readonly #resizeObserver: ResizeObserver;
  readonly #onDrawn: (mapping: CurveMapping) => void;
  #size: PictureSize;
  #content: PictureContent;
  #colors: CurveColors;
  #layout: CurveLayout | null = null;

  /** `onDrawn` hears where things stand each time the picture is painted. */
  constructor(
    host: HTMLElement,
    content: PictureContent,
    colors: CurveColors,
    onDrawn: (mapping: CurveMapping) => void,
  ) {
    const context = this.canvas.getContext('2d');
    if (context === null) throw new Error('This browser gives no 2D canvas.');
    this.#context = context;
    this.#content = content;
    this.#colors = colors;
    this.#onDrawn = onDrawn;
    this.#size = { widthPx: host.clientWidth, heightPx: host.clientHeight };
    this.canvas.className = 'trial-chart-canvas';
    // The panel's lead says the same in words.
    this.canvas.setAttribute('aria-hidden', 'true');
    this.#paint();
    host.append(this.canvas);
    this.#resizeObserver = new ResizeObserver(() => {
      const { clientWidth: widthPx, clientHeight: heightPx } = host;
      if (widthPx === this.#size.widthPx && heightPx === this.#size.heightPx) return;
      this.#size = { widthPx, heightPx };
      this.#paint();
    });
    this.#resizeObserver.observe(host);
  }

  show(content: PictureContent): void {
    this.#content = content;
    this.#paint();
  }

  setColors(colors: CurveColors): void {
    this.#colors = colors;
    this.#paint();
  }

  /** The time at a place in the picture, in CSS pixels from the left edge of its canvas. */
  timeAt(x: number): number {
    return this.#layout?.timeAt(x) ?? Number.NaN;
  }

  destroy(): void {
    this.#resizeObserver.disconnect();
    this.canvas.remove();
  }

  #paint(): void {
    const { widthPx, heightPx } = this.#size;
    if (widthPx === 0 || heightPx === 0) return;
    const context = this.#context;
    const picture = { ...this.#content, colors: this.#colors };
    this.#fitCanvas();
    context.setTransform(devicePixelRatio, 0, 0, devicePixelRatio, 0, 0);
    context.clearRect(0, 0, widthPx, heightPx);
    context.font = curveFont(picture);
    const layout = layOutCurve(picture, this.#size, (text) => context.measureText(text).width);
    paintCurve(context, picture, layout);
    this.#layout = layout;
    this.#onDrawn(layout);
  }

  /** Setting a size empties the canvas and makes a new one, even where it is the same. */
  #fitCanvas(): void {
    const width = Math.round(this.#size.widthPx * devicePixelRatio);
    const height = Math.round(this.#size.heightPx * devicePixelRatio);
    if (this.canvas.width !== width) this.canvas.width = width;
    if (this.canvas.height !== height) this.canvas.height = height;
  }
}
