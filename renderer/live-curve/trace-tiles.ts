import type { PlotArea } from './trace-mapping.ts';

/** Width of one tile in columns (device pixels). */
export const TILE_COLUMNS = 256;

/** Where the live trace is drawn: a row of tiles, of which a window shows some. */
export interface TraceSurface {
  /** The context of a tile, empty when it comes into the picture; its left edge is column `index * TILE_COLUMNS`. */
  tile(index: number): CanvasRenderingContext2D;
  /** Moves the picture so that it begins at this column; what lies left of it is given up. */
  scrollTo(firstColumn: number): void;
  clear(): void;
}

/**
 * Canvases side by side on a strip that slides behind the plot area.
 *
 * A browser hands on a whole canvas when one pixel of it has changed, so a frame must touch only the narrow tile at the
 * end of the trace; and a strip that slides costs nothing to draw, where one canvas would have to be copied onto itself.
 */
export class TraceTiles implements TraceSurface {
  readonly #window = document.createElement('div');
  readonly #strip = document.createElement('div');
  readonly #tiles = new Map<number, CanvasRenderingContext2D>();
  #spare: CanvasRenderingContext2D[] = [];
  #heightPx = 1;

  constructor(host: HTMLElement) {
    this.#window.className = 'live-curve-trace';
    this.#strip.className = 'live-curve-strip';
    this.#window.append(this.#strip);
    host.append(this.#window);
  }

  /** The plot area in device pixels. All tiles are given up: they have another height. */
  fitTo({ left, top, width, height }: PlotArea): void {
    const place = { left, top, width, height };
    for (const [side, devicePixels] of Object.entries(place)) {
      this.#window.style.setProperty(side, `${devicePixels / devicePixelRatio}px`);
    }
    if (height !== this.#heightPx) {
      this.#heightPx = height;
      this.#tiles.clear();
      this.#spare = [];
      this.#strip.replaceChildren();
    }
  }

  tile(index: number): CanvasRenderingContext2D {
    const known = this.#tiles.get(index);
    if (known !== undefined) return known;
    const context = this.#spare.pop() ?? this.#makeTile();
    context.clearRect(0, 0, TILE_COLUMNS, this.#heightPx);
    context.canvas.style.left = `${(index * TILE_COLUMNS) / devicePixelRatio}px`;
    context.canvas.hidden = false;
    this.#tiles.set(index, context);
    return context;
  }

  scrollTo(firstColumn: number): void {
    this.#strip.style.transform = `translateX(${-firstColumn / devicePixelRatio}px)`;
    for (const index of this.#tiles.keys()) {
      if ((index + 1) * TILE_COLUMNS <= firstColumn) this.#giveUp(index);
    }
  }

  clear(): void {
    for (const index of [...this.#tiles.keys()]) this.#giveUp(index);
  }

  remove(): void {
    this.#window.remove();
  }

  #giveUp(index: number): void {
    const context = this.#tiles.get(index);
    if (context === undefined) return;
    context.canvas.hidden = true;
    this.#tiles.delete(index);
    this.#spare.push(context);
  }

  #makeTile(): CanvasRenderingContext2D {
    const canvas = document.createElement('canvas');
    canvas.className = 'live-curve-tile';
    canvas.width = TILE_COLUMNS;
    canvas.height = this.#heightPx;
    canvas.style.width = `${TILE_COLUMNS / devicePixelRatio}px`;
    canvas.style.height = `${this.#heightPx / devicePixelRatio}px`;
    const context = canvas.getContext('2d');
    if (context === null) throw new Error('This browser gives no 2D canvas.');
    this.#strip.append(canvas);
    return context;
  }
}
