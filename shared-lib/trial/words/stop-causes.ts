import type { Quality, StopCause } from '../trial-model.ts';

/** What may have ended a torque before its time, as the operator says it; the order is that of the keys 1 to 3. */
export const stopCauses: readonly { readonly cause: StopCause; readonly label: string }[] = [
  { cause: 'tool', label: 'The tool stopped by itself' },
  { cause: 'hot', label: 'It cut out hot' },
  { cause: 'released', label: 'I let go' },
];

/** Whether keeping the trial takes a word on what ended it. */
export function asksStopCause({ reasons }: Quality): boolean {
  return reasons.some(({ code }) => code === 'earlyStop');
}
