import { formatNumber, formatTorqueInBothUnits, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import type { Kind, Step } from '../../shared-lib/trial/step-model.ts';

export const kindNames: Readonly<Record<Kind, string>> = {
  tighten: 'Tighten',
  breakaway: 'Breakaway',
  stall: 'Stall',
  endurance: 'Endurance',
};

/** "5 s", "7.5 s", "10 min": with a decimal only where there is one, in minutes only where they are whole. */
export function describeTime(plannedS: number): string {
  if (plannedS >= 120 && plannedS % 60 === 0) return `${formatNumber(plannedS / 60, 0)}${THIN_SPACE}min`;
  return `${formatNumber(plannedS, Number.isInteger(plannedS) ? 0 : 1)}${THIN_SPACE}s`;
}

/** "forward, 5 s", "breakaway reverse, 5 s": what is done, whatever does it. */
export function describePull({
  kind,
  direction,
  plannedS,
}: Pick<Step, 'kind' | 'direction' | 'plannedS'>): string {
  const words = kind === 'tighten' ? direction : `${kind} ${direction}`;
  return `${words}, ${describeTime(plannedS)}`;
}

/** "Hollin H5, forward, 5 s" */
export function describeStep(step: Step): string {
  return `${step.toolName}, ${describePull(step)}`;
}

/** What the hands have to do or to know before this kind is started; null: nothing that is not known. */
export function beforeStart({ kind, preloadNm }: Pick<Step, 'kind' | 'preloadNm'>): string | null {
  switch (kind) {
    case 'breakaway':
      return preloadNm === null || preloadNm === undefined
        ? 'Tighten the fastener first, then start.'
        : `Tighten to ${formatTorqueInBothUnits(preloadNm, 0)} first, then start.`;
    case 'stall':
      return 'Brace the tool: when it stands, its torque goes into your hands.';
    case 'endurance':
      return 'A tool that gets hot may burn: mind your hands, and let it stop by itself.';
    case 'tighten':
      return null;
  }
}
