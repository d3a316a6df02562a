import type { CurveColors } from '../../live-curve/curve-style.ts';

/** What is written around the curve, so that the picture says by itself what it shows. */
export interface PictureWords {
  readonly title: string;
  readonly subtitle: string;
  /** In the colours of the lines, in the order of the legend. */
  readonly legend: readonly { readonly label: string; readonly color: string }[];
  readonly footer: string;
}

const PADDING = 20;
const TITLE_PX = 20;
const TEXT_PX = 13;
const LINE = 1.5;
const SAMPLE_LENGTH = 28;

/**
 * The chart as a PNG on the ground of the theme, with title, legend and footer. The chart's own canvas is taken as it is
 * drawn, so the picture has the resolution of the screen.
 */
export async function chartPicture(
  chart: HTMLCanvasElement,
  words: PictureWords,
  colors: CurveColors,
): Promise<Blob> {
  const scale = chart.width / chart.clientWidth;
  const headHeight = TITLE_PX * LINE + 2 * TEXT_PX * LINE;
  const footHeight = TEXT_PX * LINE;
  const width = chart.clientWidth + 2 * PADDING;
  const height = headHeight + chart.clientHeight + footHeight + 3 * PADDING;

  const canvas = document.createElement('canvas');
  canvas.width = Math.round(width * scale);
  canvas.height = Math.round(height * scale);
  const context = canvas.getContext('2d');
  if (context === null) throw new Error('This browser gives no 2D canvas.');
  context.scale(scale, scale);
  context.fillStyle = colors.surface;
  context.fillRect(0, 0, width, height);
  context.textBaseline = 'top';

  write(context, words.title, PADDING, `680 ${TITLE_PX}px ${colors.font}`, colors.ink);
  context.translate(0, TITLE_PX * LINE);
  write(context, words.subtitle, PADDING, `420 ${TEXT_PX}px ${colors.font}`, colors.inkSoft);
  context.translate(0, TEXT_PX * LINE);
  writeLegend(context, words.legend, colors);
  context.translate(0, TEXT_PX * LINE + PADDING / 2);
  context.drawImage(chart, PADDING, PADDING, chart.clientWidth, chart.clientHeight);
  context.translate(0, chart.clientHeight + PADDING);
  write(context, words.footer, PADDING, `420 ${TEXT_PX}px ${colors.font}`, colors.inkSoft);

  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => {
      if (blob === null) reject(new Error('The browser made no picture of the chart.'));
      else resolve(blob);
    }, 'image/png');
  });
}

function write(
  context: CanvasRenderingContext2D,
  text: string,
  x: number,
  font: string,
  color: string,
): void {
  context.font = font;
  context.fillStyle = color;
  context.fillText(text, x, PADDING);
}

function writeLegend(
  context: CanvasRenderingContext2D,
  legend: PictureWords['legend'],
  { ink, font }: CurveColors,
): void {
  let x = PADDING;
  const textFont = `420 ${TEXT_PX}px ${font}`;
  for (const { label, color } of legend) {
    context.strokeStyle = color;
    context.lineWidth = 3;
    context.beginPath();
    context.moveTo(x, PADDING + TEXT_PX / 2);
    context.lineTo(x + SAMPLE_LENGTH, PADDING + TEXT_PX / 2);
    context.stroke();
    write(context, label, x + SAMPLE_LENGTH + 6, textFont, ink);
    x += SAMPLE_LENGTH + 6 + context.measureText(label).width + 2 * TEXT_PX;
  }
}
