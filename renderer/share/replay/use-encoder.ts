import { useEffect, useState } from 'react';
import type { VideoCodec } from 'mediabunny';
import { type ChartLook, chartFormats } from '../../../shared-lib/charts/chart-model.ts';

/** Which encoder this browser has for films of a format; null: none. The library is fetched with the first question. */
export function useEncoder(format: ChartLook['format']): VideoCodec | null | 'looking' {
  const [found, setFound] = useState<{ readonly format: string; readonly codec: VideoCodec | null } | null>(
    null,
  );
  useEffect(() => {
    let isWanted = true;
    const { widthPx, heightPx } = chartFormats[format];
    void import('./make-webm.ts')
      .then(({ findEncoder }) => findEncoder(widthPx, heightPx))
      .then((codec) => {
        if (isWanted) setFound({ format, codec });
      });
    return () => {
      isWanted = false;
    };
  }, [format]);
  return found?.format === format ? found.codec : 'looking';
}
