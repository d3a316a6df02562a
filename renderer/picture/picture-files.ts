import { AppError } from '../../shared-lib/app-error.ts';
import type { Picture } from '../../shared-lib/picture/picture-model.ts';
import { writeSvg } from '../../shared-lib/picture/write-svg.ts';
import { paintPicture } from './paint-picture.ts';
import { fontCssOf, loadPictureFonts } from './picture-fonts.ts';

/** A PNG of exactly the picture's size; transparent where it has no ground. Throws AppError 'internal'. */
export async function pictureAsPng(picture: Picture): Promise<Blob> {
  await loadPictureFonts(picture);
  const canvas = new OffscreenCanvas(picture.widthPx, picture.heightPx);
  const context = canvas.getContext('2d');
  if (context === null) throw notMade(undefined);
  paintPicture(context, picture);
  try {
    return await canvas.convertToBlob({ type: 'image/png' });
  } catch (cause) {
    throw notMade(cause);
  }
}

/** An SVG document with the letters that it needs inside. Throws AppError 'internal'. */
export async function pictureAsSvg(picture: Picture): Promise<Blob> {
  return new Blob([writeSvg(picture, await fontCssOf(picture))], { type: 'image/svg+xml' });
}

function notMade(cause: unknown): AppError {
  return new AppError(
    'internal',
    'The browser has no memory left to draw the picture, so it was not made. Close other pages and try again, or save it as SVG.',
    {},
    cause,
  );
}
