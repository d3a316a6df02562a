import type { CurveReading } from './read-curve.ts';
import type { CurveMapping } from './curve-layout.ts';
import type { CurveWindow } from './curve-window.ts';

export interface OverlayContent {
  readonly reading: CurveReading | null;
  readonly selected: CurveWindow | null;
}

/** Cursor and selection above the chart, moved without drawing it anew. */
export class CurveOverlay {
  readonly #band = overlayPart('trial-selection');
  readonly #line = overlayPart('trial-cursor');
  readonly #dot = overlayPart('trial-cursor-dot');
  #content: OverlayContent = { reading: null, selected: null };
  #mapping: CurveMapping | null = null;

  constructor(host: HTMLElement) {
    host.append(this.#band, this.#line, this.#dot);
    this.#place();
  }

  show(content: OverlayContent): void {
    this.#content = content;
    this.#place();
  }

  /** After the chart has been drawn, at the first time, in another size, or with another stretch in sight. */
  follow(mapping: CurveMapping): void {
    this.#mapping = mapping;
    this.#place();
  }

  #place(): void {
    const { reading, selected } = this.#content;
    const mapping = this.#mapping;
    this.#band.hidden = mapping === null || selected === null;
    this.#line.hidden = mapping === null || reading === null;
    this.#dot.hidden = mapping === null || reading === null || reading.measuringNm === null;
    if (mapping === null) return;
    const { left, right, top, bottom } = mapping;
    if (selected !== null) {
      const from = Math.max(mapping.xOf(selected.fromS), left);
      const to = Math.min(mapping.xOf(selected.toS), right);
      place(this.#band, from, top, Math.max(to - from, 0), bottom - top);
    }
    if (reading === null) return;
    const x = mapping.xOf(reading.timeS);
    const isInSight = x >= left - 1 && x <= right + 1;
    this.#line.hidden = !isInSight;
    place(this.#line, x, top, 0, bottom - top);
    if (reading.measuringNm === null) return;
    this.#dot.hidden = !isInSight;
    place(this.#dot, x, mapping.yOf(reading.measuringNm), 0, 0);
  }
}

function overlayPart(className: string): HTMLElement {
  const part = document.createElement('div');
  part.className = className;
  return part;
}

function place(part: HTMLElement, x: number, y: number, width: number, height: number): void {
  part.style.transform = `translate(${x}px, ${y}px)`;
  part.style.width = `${width}px`;
  part.style.height = `${height}px`;
}
