import { type CSSProperties, useSyncExternalStore } from 'react';
import { useSettings } from '../api-client/ConnectionContext.tsx';
import { type BenchSizes, benchSizes } from './bench-sizes.ts';

export function useBenchSizes(): BenchSizes {
  const screenPxPerMm = useSettings()?.screenPxPerMm ?? null;
  const widthPx = useSyncExternalStore(subscribeToResize, () => innerWidth);
  const heightPx = useSyncExternalStore(subscribeToResize, () => innerHeight);
  return benchSizes({ widthPx, heightPx, screenPxPerMm });
}

function subscribeToResize(listener: () => void): () => void {
  addEventListener('resize', listener);
  return () => removeEventListener('resize', listener);
}

export function sizeProperties({ figurePx, stepPx, controlPx, targetPx }: BenchSizes): CSSProperties {
  // React's type of a style does not know custom properties.
  const properties: CSSProperties & Record<`--bench-${string}`, string> = {
    '--bench-figure': `${figurePx}px`,
    '--bench-step': `${stepPx}px`,
    '--bench-control-type': `${controlPx}px`,
    '--bench-target': `${targetPx}px`,
  };
  return properties;
}
