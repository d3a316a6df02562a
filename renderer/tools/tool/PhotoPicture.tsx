import { useEffect, useMemo, useRef } from 'react';
import type { Photo } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { useRequest } from '../../api-client/use-request.ts';

interface PhotoPictureProps {
  readonly picture: Blob;
  readonly alt: string;
}

/** A picture from memory; its address is given back when it is no longer shown. */
export function PhotoPicture({ picture, alt }: PhotoPictureProps) {
  const image = useRef<HTMLImageElement>(null);
  useEffect(() => {
    const address = URL.createObjectURL(picture);
    if (image.current !== null) image.current.src = address;
    return () => URL.revokeObjectURL(address);
  }, [picture]);
  return <img ref={image} className="tool-photo" alt={alt} />;
}

interface StoredPhotoProps {
  readonly photo: Photo;
  readonly toolName: string;
}

export function StoredPhoto({ photo, toolName }: StoredPhotoProps) {
  const { result, error } = useRequest('getToolPhoto', { photoId: photo.id });
  const picture = useMemo(
    () =>
      result === null ? null : new Blob([Uint8Array.from(result.bytes)], { type: result.photo.mediaType }),
    [result],
  );
  if (error !== null) return <span className="tool-soft">{error.message}</span>;
  if (picture === null) return <span className="tool-photo" aria-hidden="true" />;
  return <PhotoPicture picture={picture} alt={photoName(photo, toolName)} />;
}

/** What a photo is called where it is not seen. */
export function photoName({ caption }: Photo, toolName: string): string {
  return caption === '' ? `Photo of ${toolName}` : caption;
}
