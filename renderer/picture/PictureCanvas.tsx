import { useEffect, useRef, useState } from 'react';
import type { Picture } from '../../shared-lib/picture/picture-model.ts';
import { paintPicture } from './paint-picture.ts';
import { loadPictureFonts } from './picture-fonts.ts';
import './picture-canvas.css';

interface PictureCanvasProps {
  readonly picture: Picture;
}

/** A picture as it will be saved, as wide as its place; drawn with as many px as the screen has there. */
export function PictureCanvas({ picture }: PictureCanvasProps) {
  const host = useRef<HTMLCanvasElement>(null);
  const [widthPx, setWidthPx] = useState(0);

  useEffect(() => {
    const canvas = host.current;
    if (canvas === null) return undefined;
    const observer = new ResizeObserver(([entry]) => setWidthPx(entry?.contentRect.width ?? 0));
    observer.observe(canvas);
    return () => observer.disconnect();
  }, []);

  useEffect(() => {
    const canvas = host.current;
    if (canvas === null || widthPx <= 0) return undefined;
    let isWanted = true;
    const paint = (): void => {
      if (!isWanted) return;
      const scale = (widthPx * devicePixelRatio) / picture.widthPx;
      canvas.width = Math.round(picture.widthPx * scale);
      canvas.height = Math.round(picture.heightPx * scale);
      const context = canvas.getContext('2d');
      if (context === null) return;
      context.setTransform(scale, 0, 0, scale, 0, 0);
      paintPicture(context, picture);
    };
    // Without its typeface the picture is still right in all but its letters.
    loadPictureFonts(picture).then(paint, paint);
    return () => {
      isWanted = false;
    };
  }, [picture, widthPx]);

  return (
    <canvas
      ref={host}
      className="picture-canvas"
      style={{ aspectRatio: `${picture.widthPx} / ${picture.heightPx}` }}
      role="img"
      aria-label={`${picture.title}. ${picture.description}`}
    />
  );
}
