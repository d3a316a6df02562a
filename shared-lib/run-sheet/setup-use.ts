import { z } from 'zod';
import { foldName } from '../catalogue/fold-name.ts';
import { formatNumber } from '../format-quantity.ts';
import type { Setup } from './setup-model.ts';

/** What goes by a setup's id, and would be that of another setup if its tool, pack, setting or socket became another. */
export const setupUseSchema = z.strictObject({
  /** Named so now, whatever became of them: a voided one can come back. */
  trialCount: z.int().min(0),
  /** Names of the run sheets that are not closed and have pulls of it. */
  openRunSheets: z.array(z.string()),
});
export type SetupUse = z.infer<typeof setupUseSchema>;

type Parts = Pick<Setup, 'toolId' | 'packId' | 'setting' | 'socket'>;

/**
 * Whether two setups read alike: the same tool, pack, setting and socket, whatever the case of their letters. Mass and length
 * say more of a socket, and do not make it another one.
 */
export function isSameSetup(a: Parts, b: Parts): boolean {
  return readingOf(a) === readingOf(b);
}

function readingOf({ toolId, packId, setting, socket }: Parts): string {
  return JSON.stringify([toolId, packId, foldName(setting), socket && foldName(socket.name)]);
}

/** "12 trials are of this setup, and the open run sheet “Two tools” asks for it"; null: nothing goes by it. */
export function setupUseWords({ trialCount, openRunSheets }: SetupUse): string | null {
  const trials =
    trialCount === 0
      ? null
      : `${formatNumber(trialCount, 0)} ${trialCount === 1 ? 'trial is' : 'trials are'} of this setup`;
  const what = trials === null ? 'this setup' : 'it';
  const [first] = openRunSheets;
  const sheets =
    first === undefined
      ? null
      : openRunSheets.length === 1
        ? `the open run sheet “${first}” asks for ${what}`
        : `${formatNumber(openRunSheets.length, 0)} open run sheets ask for ${what}`;
  if (trials === null) return sheets && `${sheets.charAt(0).toUpperCase()}${sheets.slice(1)}`;
  return sheets === null ? trials : `${trials}, and ${sheets}`;
}
