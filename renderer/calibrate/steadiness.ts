import { formatNumber } from '../../shared-lib/format-quantity.ts';

/** One second of counts, as the services captured it; the spread is greatest minus least. */
export interface Capture {
  readonly meanCounts: number;
  readonly spreadCounts: number;
  readonly sampleCount: number;
}

export type Steadiness = 'steady' | 'restless' | 'moving';

/** Shares of the deflection (ours): a reading that spreads over more than a hundredth of it can be taken better. */
const STEADY_SHARE = 0.01;
const RESTLESS_SHARE = 0.05;

/** Judged against a deflection, as counts by themselves are neither much nor little; null without one. */
export function judgeSteadiness(spreadCounts: number, deflectionCounts: number | null): Steadiness | null {
  if (deflectionCounts === null || deflectionCounts === 0) return null;
  const share = spreadCounts / Math.abs(deflectionCounts);
  if (share <= STEADY_SHARE) return 'steady';
  return share <= RESTLESS_SHARE ? 'restless' : 'moving';
}

export function steadinessSentence(capture: Capture, deflectionCounts: number | null): string {
  const facts = `Mean of ${formatNumber(capture.sampleCount, 0)} samples, which spread over ${formatNumber(capture.spreadCounts, 0)} counts`;
  const steadiness = judgeSteadiness(capture.spreadCounts, deflectionCounts);
  if (steadiness === null) return `${facts}. Whether that is steady shows once a load has been read too.`;
  const words = {
    steady: 'Steady',
    restless: 'Restless: wait until nothing swings, then take it again',
    moving: 'Moving: this reading should not be used',
  } as const;
  return `${words[steadiness]}. ${facts}.`;
}
