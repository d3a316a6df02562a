import { describe, expect, it } from 'vitest';
import { LARGEST_PHOTO_BYTES } from '../../../../shared-lib/catalogue/catalogue-requests.ts';
import { whyNoPhoto } from '../../../../shared-lib/catalogue/photo-kind.ts';

describe('a photo', () => {
  const bytes = (...start: number[]) => Uint8Array.from([...start, ...new Array<number>(40).fill(0)]);
  const jpeg = bytes(0xff, 0xd8, 0xff, 0xe0);
  const png = bytes(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a);
  const webp = bytes(0x52, 0x49, 0x46, 0x46, 1, 2, 3, 4, 0x57, 0x45, 0x42, 0x50);

  it('is one of three kinds, by its bytes and by its word', () => {
    expect(whyNoPhoto(jpeg, 'image/jpeg')).toBeNull();
    expect(whyNoPhoto(png, 'image/png')).toBeNull();
    expect(whyNoPhoto(webp, 'image/webp')).toBeNull();
  });

  it('is refused where its bytes are others than it says', () => {
    expect(whyNoPhoto(png, 'image/jpeg')).toContain('says that it is JPEG, and its bytes are those of PNG');
    expect(whyNoPhoto(new TextEncoder().encode('<svg onload="x()"/>'), 'image/png')).toContain('no JPEG');
    // A sound has the same beginning as a WebP picture.
    expect(
      whyNoPhoto(bytes(0x52, 0x49, 0x46, 0x46, 1, 2, 3, 4, 0x57, 0x41, 0x56, 0x45), 'image/webp'),
    ).toContain('no JPEG');
    expect(whyNoPhoto(jpeg.slice(0, 2), 'image/jpeg')).toContain('no JPEG');
    expect(whyNoPhoto(new Uint8Array(), 'image/jpeg')).toContain('empty');
  });

  it('is refused over the largest size, and not at it', () => {
    const large = new Uint8Array(LARGEST_PHOTO_BYTES + 1);
    large.set(jpeg);
    expect(whyNoPhoto(large, 'image/jpeg')).toContain('more than the 700 kB');
    expect(whyNoPhoto(large.subarray(0, LARGEST_PHOTO_BYTES), 'image/jpeg')).toBeNull();
  });
});
