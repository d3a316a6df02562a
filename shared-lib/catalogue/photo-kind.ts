import type { Photo } from './catalogue-model.ts';
import { LARGEST_PHOTO_BYTES } from './catalogue-requests.ts';

export const MOST_PHOTOS = 12;

type MediaType = Photo['mediaType'];

const jpegStart = [0xff, 0xd8, 0xff];
const pngStart = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];
const riff = [0x52, 0x49, 0x46, 0x46];
const webp = [0x57, 0x45, 0x42, 0x50];

/** By how its bytes begin; null: none of the three kinds. */
export function mediaTypeOf(bytes: Uint8Array): MediaType | null {
  const has = (start: readonly number[], offset = 0): boolean =>
    start.every((byte, index) => bytes[offset + index] === byte);
  if (has(jpegStart)) return 'image/jpeg';
  if (has(pngStart)) return 'image/png';
  // Between the two stands the length of the file.
  return has(riff) && has(webp, 8) ? 'image/webp' : null;
}

/** Why such a photo is not stored; null: it may be. */
export function whyNoPhoto(bytes: Uint8Array, mediaType: MediaType): string | null {
  if (bytes.length === 0) return 'The photo is empty. Choose another file.';
  if (bytes.length > LARGEST_PHOTO_BYTES) {
    return `The photo has ${Math.ceil(bytes.length / 1000)} kB, more than the ${LARGEST_PHOTO_BYTES / 1000} kB that one may have. Make it smaller first.`;
  }
  const found = mediaTypeOf(bytes);
  if (found === null) return 'The file is no JPEG, PNG or WebP picture. Choose one of these.';
  return found === mediaType
    ? null
    : `The file says that it is ${nameOf(mediaType)}, and its bytes are those of ${nameOf(found)}. Save it anew from a program for pictures.`;
}

function nameOf(mediaType: MediaType): string {
  return { 'image/jpeg': 'JPEG', 'image/png': 'PNG', 'image/webp': 'WebP' }[mediaType];
}
