/** What a state looks like beside its word, so that it can be read without colour. */
export type StateShapeName = 'fault' | 'caution' | 'information' | 'good' | 'live' | 'off';

const paths: Record<StateShapeName, { readonly outline: string; readonly mark: string | null }> = {
  fault: { outline: 'M7 1h10l6 6v10l-6 6H7l-6-6V7z', mark: 'M7.5 7.5l9 9m0-9l-9 9' },
  caution: { outline: 'M12 1.5L23.5 22H.5z', mark: 'M12 9v5.4m0 4v.1' },
  information: { outline: 'M12 1a11 11 0 1 0 0 22 11 11 0 0 0 0-22z', mark: 'M12 11v6.5m0-11v.1' },
  good: { outline: 'M12 1a11 11 0 1 0 0 22 11 11 0 0 0 0-22z', mark: 'M6.5 12.5l4 4 7.5-8.5' },
  live: { outline: 'M12 3a9 9 0 1 0 0 18 9 9 0 0 0 0-18z', mark: null },
  off: { outline: 'M12 3a9 9 0 1 0 0 18 9 9 0 0 0 0-18zm0 3a6 6 0 1 1 0 12 6 6 0 0 1 0-12z', mark: null },
};

/** Decoration only: the word stands beside it, so screen readers skip the shape. */
export function StateShape({ shape }: { readonly shape: StateShapeName }) {
  const { outline, mark } = paths[shape];
  return (
    <svg className={`ui-shape ui-shape-${shape}`} viewBox="0 0 24 24" aria-hidden="true" focusable="false">
      <path className="ui-shape-outline" d={outline} fillRule="evenodd" />
      {mark === null ? null : <path className="ui-shape-mark" d={mark} />}
    </svg>
  );
}
