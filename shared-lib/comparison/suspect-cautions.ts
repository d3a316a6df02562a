import type { PulledTrial } from './pulled-trial.ts';

/**
 * What is to be known of trials that count although a failed daily check marks them, since nobody has decided about them yet; none
 * where there are none. `where`: the step they are of, where several are spoken of.
 */
export function suspectCautions(trials: readonly Pick<PulledTrial, 'suspicion'>[], where = ''): string[] {
  const count = trials.filter(({ suspicion }) => suspicion !== null && suspicion.decision === null).length;
  if (count === 0) return [];
  const marked = `${trials.length === 1 ? 'trial' : 'trials'} ${count === 1 ? 'is' : 'are'}`;
  const them = count === 1 ? 'it' : 'them';
  return [
    `${where}${count} of ${trials.length} ${marked} suspect: a daily check failed after ${them}, or before ${them} with none passed since, and nobody has decided yet whether ${count === 1 ? 'it is' : 'they are'} usable. Decide in the Logbook.`,
  ];
}
