import { formatTorqueInBothUnits } from '../format-quantity.ts';
import type { Step } from './step-model.ts';
import { ONSET_TIMEOUT_S } from './trial-state.ts';

/** Why no trial was made: what happened before onset, and what to do now. */
export function earlyTorqueSentence({ kind }: Step): string {
  return kind === 'breakaway'
    ? 'The preload was moved before the go. No trial was made; tighten the fastener again, wait for the go and pull then.'
    : 'Torque came before the go. No trial was made; wait for the go and pull then.';
}

export function wrongDirectionSentence({ direction }: Step): string {
  return `The torque went the wrong way for a ${direction} run. No trial was made; check the tool's direction switch.`;
}

export function noOnsetSentence({ kind }: Step): string {
  return kind === 'breakaway'
    ? `Within ${ONSET_TIMEOUT_S} s nothing moved the preload by more than the onset level. No trial was made.`
    : `No torque within ${ONSET_TIMEOUT_S} s. No trial was made.`;
}

export function overloadSentence(torqueNm: number): string {
  return `Overload: ${formatTorqueInBothUnits(torqueNm, 0)} before the run began. No trial was made; check the rig.`;
}

/** `standingNm`: against the step; null: too many samples are lost to know. */
export function preloadMissingSentence(
  { direction }: Step,
  { standingNm, leastNm }: { readonly standingNm: number | null; readonly leastNm: number },
): string {
  const found =
    standingNm === null
      ? 'Too many samples were lost to know what preload stands.'
      : `A preload of ${formatTorqueInBothUnits(standingNm, 1)} stands against the step; its release shows from ${formatTorqueInBothUnits(leastNm, 1)} on.`;
  const way = direction === 'forward' ? 'in reverse' : 'forward';
  return `${found} No trial was made. Tighten the fastener ${way}, on a zero that was set unloaded, then start again.`;
}
