import type { VerdictShapeName } from '../../shared-lib/comparison/words/compare-sentences.ts';

/** Each way a verdict can go has a shape of its own, beside its word. */
const paths: Readonly<Record<VerdictShapeName, string>> = {
  ahead: 'M12 4l9 15h-18z',
  farAhead: 'M12 1l8 10h-16zM12 12l8 10h-16z',
  behind: 'M12 20l-9 -15h18z',
  farBehind: 'M12 12l-8 -10h16zM12 23l-8 -10h16z',
  level: 'M3 6h18v4h-18zM3 14h18v4h-18z',
  open: 'M2 12l5 -5v3.5h10v-3.5l5 5l-5 5v-3.5h-10v3.5z',
  waiting: 'M4 2h16v3l-6 7l6 7v3h-16v-3l6 -7l-6 -7z',
};

export function VerdictShape({ shape }: { readonly shape: VerdictShapeName }) {
  return (
    <svg className="verdict-shape" viewBox="0 0 24 24" aria-hidden="true" focusable="false">
      <path d={paths[shape]} />
    </svg>
  );
}
