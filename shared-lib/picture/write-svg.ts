import { assertNever } from '../assert-never.ts';
import type { Picture, Shape, Stroke } from './picture-model.ts';
import { measureTextPx, pictureText, textRuns } from './text-width.ts';

/** The name under which `fontCss` has to declare the shipped typeface in the weights 400, 600 and 700. */
export const PICTURE_FONT_FAMILY = 'Inter';

/**
 * A picture as an SVG document (SVG 1.1 with plain attributes, so that programs other than browsers read it too).
 *
 * `fontCss`: @font-face rules, with the font inside as data; empty: the reader's own fonts. Figures get their places one by one, so that
 * they stand in columns in whatever font.
 */
export function writeSvg(picture: Picture, fontCss: string): string {
  const { widthPx, heightPx, ground, title, description, shapes } = picture;
  const lines = [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${number(widthPx)}" height="${number(heightPx)}" viewBox="0 0 ${number(widthPx)} ${number(heightPx)}" role="img">`,
    `<title>${escapeXml(title)}</title>`,
    `<desc>${escapeXml(description)}</desc>`,
    ...(fontCss === '' ? [] : [`<style>${escapeXml(fontCss)}</style>`]),
    ...(ground === null
      ? []
      : [`<rect width="${number(widthPx)}" height="${number(heightPx)}" fill="${escapeXml(ground)}"/>`]),
    `<g font-family="${PICTURE_FONT_FAMILY}, sans-serif" style="font-kerning: none" stroke-linejoin="round" stroke-linecap="butt">`,
    ...shapes.map(writeShape).filter((line) => line !== ''),
    '</g>',
    '</svg>',
  ];
  return `${lines.join('\n')}\n`;
}

/** For text and attribute values alike; what XML cannot hold is left out. */
export function escapeXml(text: string): string {
  return text
    .toWellFormed()
    .replace(/[^\P{Cc}\t\n\r]|[\ufffe\uffff]/gu, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}

function writeShape(shape: Shape): string {
  switch (shape.kind) {
    case 'line': {
      const path = pathOf(shape.pointsPx);
      return path === '' ? '' : `<path d="${path}" fill="none"${strokeAttributes(shape.stroke)}/>`;
    }
    case 'area': {
      const path = pathOf(shape.pointsPx);
      return path === ''
        ? ''
        : `<path d="${path}Z" fill="${escapeXml(shape.fill)}"${opacityAttribute(shape.opacity)}/>`;
    }
    case 'rectangle':
      return `<rect x="${number(shape.xPx)}" y="${number(shape.yPx)}" width="${number(shape.widthPx)}" height="${number(shape.heightPx)}"${shape.radiusPx > 0 ? ` rx="${number(shape.radiusPx)}"` : ''}${fillAttribute(shape.fill)}${shape.stroke === null ? '' : strokeAttributes(shape.stroke)}${opacityAttribute(shape.opacity)}/>`;
    case 'circle':
      return `<circle cx="${number(shape.xPx)}" cy="${number(shape.yPx)}" r="${number(shape.radiusPx)}"${fillAttribute(shape.fill)}${shape.stroke === null ? '' : strokeAttributes(shape.stroke)}/>`;
    case 'text':
      return writeText(shape);
    default:
      return assertNever(shape, 'Say how this kind of shape is drawn');
  }
}

function writeText(shape: Extract<Shape, { kind: 'text' }>): string {
  const { xPx, yPx, text, style, colour, anchor, turnedDeg } = shape;
  const plain = pictureText(text);
  if (plain.trim() === '') return '';
  const turn =
    turnedDeg === 0 ? '' : ` transform="rotate(${number(turnedDeg)} ${number(xPx)} ${number(yPx)})"`;
  const weight = style.weight === 400 ? '' : ` font-weight="${style.weight}"`;
  const look = `y="${number(yPx)}" font-size="${number(style.sizePx)}"${weight} fill="${escapeXml(colour)}"${turn}`;
  if (style.isProse === true || !/\d/.test(plain)) {
    const anchored = anchor === 'start' ? '' : ` text-anchor="${anchor}"`;
    return `<text x="${number(xPx)}" ${look}${anchored}>${escapeXml(plain)}</text>`;
  }
  const startPx = xPx - anchorShare[anchor] * measureTextPx(plain, style);
  return `<text x="${placesOf(plain, startPx, style)}" ${look}>${escapeXml(plain)}</text>`;
}

export const anchorShare = { start: 0, middle: 0.5, end: 1 } as const;

/** One place for each character up to the one after the last figure; the others follow by themselves. */
function placesOf(text: string, startPx: number, style: Extract<Shape, { kind: 'text' }>['style']): string {
  const places: string[] = [];
  const runs = textRuns(text, style);
  runs.forEach((run, index) => {
    const isLast = index === runs.length - 1;
    if (isLast) {
      places.push(number(startPx + run.xPx));
      return;
    }
    let before = '';
    for (const character of run.text) {
      const xPx = number(startPx + run.xPx + measureTextPx(before, style));
      places.push(...Array.from({ length: character.length }, () => xPx));
      before += character;
    }
  });
  return places.join(' ');
}

/** Steps from point to point in tenths of a pixel, which keeps the file small; errors do not add up. */
function pathOf(pointsPx: Float64Array): string {
  let path = '';
  let isDown = false;
  let [atX, atY] = [0, 0];
  for (let place = 0; place + 1 < pointsPx.length; place += 2) {
    const [x, y] = [tenths(pointsPx[place]), tenths(pointsPx[place + 1])];
    if (!Number.isFinite(x) || !Number.isFinite(y)) {
      isDown = false;
      continue;
    }
    path += isDown ? `l${(x - atX) / 10} ${(y - atY) / 10}` : `M${x / 10} ${y / 10}`;
    isDown = true;
    [atX, atY] = [x, y];
  }
  return path;
}

function tenths(value: number | undefined): number {
  return Math.round((value ?? Number.NaN) * 10);
}

function strokeAttributes({ colour, widthPx, dashPx }: Stroke): string {
  const dash = dashPx.length === 0 ? '' : ` stroke-dasharray="${dashPx.map(number).join(' ')}"`;
  return ` stroke="${escapeXml(colour)}" stroke-width="${number(widthPx)}"${dash}`;
}

function fillAttribute(fill: string | null): string {
  return ` fill="${fill === null ? 'none' : escapeXml(fill)}"`;
}

function opacityAttribute(opacity: number): string {
  return opacity >= 1 ? '' : ` opacity="${number(opacity)}"`;
}

function number(value: number): string {
  return Number.isFinite(value) ? String(Math.round(value * 100) / 100) : '0';
}
