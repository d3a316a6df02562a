import { AppError } from '../../shared-lib/app-error.ts';
import { fontFace, fontPartsOf } from '../../shared-lib/picture/font-subsets.ts';
import type { FontWeight, Picture } from '../../shared-lib/picture/picture-model.ts';
import { pictureText } from '../../shared-lib/picture/text-width.ts';
import { PICTURE_FONT_FAMILY } from '../../shared-lib/picture/write-svg.ts';
import { fontFileOf } from './font-files.ts';
import './picture-fonts.css';

/**
 * Waits until the page has the typeface for all texts of a picture; painting before would take another one.
 * Throws AppError 'internal' where a file of the program cannot be read.
 */
export async function loadPictureFonts(picture: Pick<Picture, 'shapes'>): Promise<void> {
  const texts = new Map<FontWeight, string>();
  for (const shape of picture.shapes) {
    if (shape.kind !== 'text') continue;
    texts.set(shape.style.weight, (texts.get(shape.style.weight) ?? '') + pictureText(shape.text));
  }
  try {
    await Promise.all(
      [...texts].map(([weight, text]) =>
        document.fonts.load(`${weight} 20px ${PICTURE_FONT_FAMILY}`, [...new Set(text)].join('')),
      ),
    );
  } catch (cause) {
    throw fontFailure(cause);
  }
}

/** Rules with the files inside, for a picture that leaves the program. Throws AppError 'internal' as above. */
export async function fontCssOf(picture: Pick<Picture, 'shapes'>): Promise<string> {
  const rules = await Promise.all(
    fontPartsOf(picture).map(async (part) => fontFace(part, 'woff2', await readAsBase64(fontFileOf(part)))),
  );
  return rules.join('\n');
}

async function readAsBase64(address: string): Promise<string> {
  try {
    const answer = await fetch(address);
    if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
    const bytes = new Uint8Array(await answer.arrayBuffer());
    let letters = '';
    for (const byte of bytes) letters += String.fromCharCode(byte);
    return btoa(letters);
  } catch (cause) {
    throw fontFailure(cause);
  }
}

function fontFailure(cause: unknown): AppError {
  return new AppError(
    'internal',
    'A font file of the program could not be read, so the picture was not made. Nothing else is touched. Reload the page and try again.',
    {},
    cause,
  );
}
