import { describe, expect, it } from 'vitest';
import { performPrimaryAction } from '../../../../renderer/bench/bench-actions.ts';
import type { PrimaryAction } from '../../../../renderer/bench/primary-action.ts';
import { AppError } from '../../../../shared-lib/app-error.ts';
import { demoSettings, readyStatus } from '../../../helpers/scripted-bench.ts';
import { ScriptedConnection } from '../../../helpers/scripted-connection.ts';
import { nothingFound } from '../../../helpers/scripted-sheet.ts';

function bench() {
  const connection = new ScriptedConnection(readyStatus, demoSettings);
  const opened: string[] = [];
  connection.answer('armTrial', () => ({}));
  connection.answer('confirmSetup', () => ({}));
  connection.answer('closeRunSheet', () => ({}));
  const perform = (action: PrimaryAction): Promise<void> =>
    performPrimaryAction(action, connection, {
      goTo: (address) => opened.push(address),
      showSafetyList: () => opened.push('safety'),
      showSenseCheck: () => opened.push('sense'),
      askVoidReason: (trialId) => opened.push(`void ${trialId}`),
      found: () => ({ preparation: { ...nothingFound, packRestedV: 20.4 }, lastPackRestedV: 18.9 }),
      showSummary: () => opened.push('summary'),
    });
  return { connection, opened, perform };
}

describe('the primary action', () => {
  it('starts a trial for the entry that the window shows, so that another window cannot have gone on unseen', async () => {
    const { connection, perform } = bench();
    await perform({ does: 'start', label: 'Start', entryId: 'e1' });
    await perform({ does: 'start', label: 'Start', entryId: null });
    expect(connection.requests.slice(-2)).toEqual([
      { name: 'armTrial', params: { entryId: 'e1' } },
      { name: 'armTrial', params: { entryId: null } },
    ]);
  });

  it('takes a setup up with what stands on the screen', async () => {
    const { connection, perform } = bench();
    await perform({ does: 'takeUp', label: 'Take up Hollin H5', entryId: 'e1' });
    expect(connection.requests.at(-1)).toEqual({
      name: 'confirmSetup',
      params: {
        entryId: 'e1',
        preparation: { ...nothingFound, packRestedV: 20.4 },
        lastPackRestedV: 18.9,
      },
    });
  });

  it('ends the day and shows its summary, but only once the services have ended it', async () => {
    const { connection, opened, perform } = bench();
    const end: PrimaryAction = { does: 'endSheet', label: 'End the day', runSheetId: 'sheet-1' };
    await perform(end);
    expect(connection.requests.at(-1)).toEqual({
      name: 'closeRunSheet',
      params: { runSheetId: 'sheet-1', reason: null },
    });
    expect(opened).toEqual(['summary']);
    connection.answer('closeRunSheet', () => {
      throw new AppError('bench-moved-on', 'Another window has gone on.');
    });
    await expect(perform(end)).rejects.toMatchObject({ code: 'bench-moved-on' });
    expect(opened).toEqual(['summary']);
  });
});
