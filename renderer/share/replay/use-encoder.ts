import { useEffect, useState } from 'react';
import { type ChartLook, chartFormats } from '../../../shared-lib/charts/chart-model.ts';
import type { FilmCodec } from './film-encoder.ts';

/** Which encoder this browser has for films of a format; null: none. The library is fetched with the first question. */
export function useEncoder(format: ChartLook['format']): FilmCodec | null | 'looking' {
  const [found, setFound] = useState<{ readonly format: string; readonly codec: FilmCodec | null } | null>(
    null,
  );
  useEffect(() => {
    let isWanted = true;
    const { widthPx, heightPx } = chartFormats[format];
    void import('./film-encoder.ts')
      .then(({ findFilmCodec }) => findFilmCodec(widthPx, heightPx))
      .then((codec) => {
        if (isWanted) setFound({ format, codec });
      });
    return () => {
      isWanted = false;
    };
  }, [format]);
  return found?.format === format ? found.codec : 'looking';
}
