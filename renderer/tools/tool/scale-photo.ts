import { LARGEST_PHOTO_BYTES } from '../../../shared-lib/catalogue/catalogue-requests.ts';

export const LONGEST_SIDE_PX = 1280;

/** Tried one after the other until the picture is small enough. */
export const jpegQualities: readonly number[] = [0.88, 0.75, 0.6, 0.45];

export interface PictureSize {
  readonly width: number;
  readonly height: number;
}

/** The size with its longest side at most `LONGEST_SIDE_PX`; never enlarged, never without a pixel. */
export function fittedSize({ width, height }: PictureSize): PictureSize {
  const scale = Math.min(1, LONGEST_SIDE_PX / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}

export type ScaledPhoto = { readonly blob: Blob } | { readonly problem: string };

/**
 * A picture file as a JPEG that can be stored: turned as the camera held it, scaled down, on white where it was
 * transparent. Drawing it anew leaves out what cameras write beside a picture, such as the place.
 */
export async function scalePhoto(file: Blob): Promise<ScaledPhoto> {
  const picture = await decode(file);
  if (picture === null) {
    return {
      problem:
        'This file is not a picture that can be read here, so nothing was stored. JPEG, PNG and WebP can be read.',
    };
  }
  const size = fittedSize(picture);
  const canvas = new OffscreenCanvas(size.width, size.height);
  const context = canvas.getContext('2d');
  if (context === null) return { problem: 'This window cannot scale pictures, so nothing was stored.' };
  context.fillStyle = 'white';
  context.fillRect(0, 0, size.width, size.height);
  context.drawImage(picture, 0, 0, size.width, size.height);
  picture.close();
  for (const quality of jpegQualities) {
    const blob = await canvas.convertToBlob({ type: 'image/jpeg', quality });
    if (blob.size <= LARGEST_PHOTO_BYTES) return { blob };
  }
  return { problem: 'This picture stays too large however it is packed. Cut away what is not the tool.' };
}

async function decode(file: Blob): Promise<ImageBitmap | null> {
  try {
    return await createImageBitmap(file, { imageOrientation: 'from-image' });
  } catch (failure) {
    // The browser's word for bytes that are no picture.
    if (failure instanceof DOMException) return null;
    throw failure;
  }
}
