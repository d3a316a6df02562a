import type { TrialView } from '../../shared-lib/bench-status.ts';
import type { TorqueDisplay } from '../../shared-lib/torque-display.ts';
import type { CurveView } from '../live-curve/curve-chart.ts';

/** The picture in a sentence or two, for those who do not see it. */
export function summariseCurve(
  view: CurveView,
  trial: TrialView,
  display: TorqueDisplay,
  isHeldBack = false,
): string {
  const what =
    view.window.kind === 'rolling'
      ? `Live curve of the last ${view.window.spanS} seconds.`
      : `Torque curve from ${-view.window.fromS} seconds before onset to ${view.window.toS} seconds after it.`;
  return [what, isHeldBack ? '' : summariseTrial(trial, display), summariseEarlier(view)]
    .filter((part) => part !== '')
    .join(' ');
}

function summariseTrial(trial: TrialView, display: TorqueDisplay): string {
  if (trial.phase !== 'kept') return '';
  const { sustainedTorqueNm, finalTorqueNm } = trial.figures;
  return [
    'value' in sustainedTorqueNm ? `Sustained torque ${display.format(sustainedTorqueNm.value)}.` : '',
    'value' in finalTorqueNm ? `Final torque ${display.format(finalTorqueNm.value)}.` : '',
  ]
    .filter((part) => part !== '')
    .join(' ');
}

function summariseEarlier({ window, earlier }: CurveView): string {
  if (window.kind === 'rolling' || earlier.length === 0) return '';
  const labels = earlier.map(({ label }) => label).join('; ');
  return `Behind it ${earlier.length === 1 ? 'one earlier curve' : `${earlier.length} earlier curves`}: ${labels}.`;
}
