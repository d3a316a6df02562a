import type { Connection, RequestParams } from '../../shared-lib/api-contract.ts';
import { assertNever } from '../../shared-lib/assert-never.ts';
import type { PrimaryAction } from './primary-action.ts';

/** What an action opens on the screen, or takes from it; anything else is a request to the services. */
export interface BenchOpeners {
  readonly goTo: (address: string) => void;
  readonly showSafetyList: () => void;
  readonly showSenseCheck: () => void;
  readonly askVoidReason: (trialId: string) => void;
  /** What was found with the setup that is taken up, as it stands on the screen. */
  readonly found: () => Omit<RequestParams<'confirmSetup'>, 'entryId'>;
  readonly showSummary: () => void;
}

/** Performs the primary action. The returned promise settles when the services have answered. */
export async function performPrimaryAction(
  action: PrimaryAction,
  connection: Connection,
  openers: BenchOpeners,
): Promise<void> {
  switch (action.does) {
    case 'start':
      await connection.request('armTrial', { entryId: action.entryId });
      return;
    case 'takeUp':
      await connection.request('confirmSetup', { entryId: action.entryId, ...openers.found() });
      return;
    case 'endSheet':
      await connection.request('closeRunSheet', { runSheetId: action.runSheetId, reason: null });
      openers.showSummary();
      return;
    case 'stop':
      await connection.request('stopTrial', {});
      return;
    case 'keep':
      await connection.request('keepTrial', { trialId: action.trialId });
      return;
    case 'takeZero':
      await connection.request('takeZero', {});
      return;
    case 'askVoidReason':
      openers.askVoidReason(action.trialId);
      return;
    case 'showSafetyList':
      openers.showSafetyList();
      return;
    case 'showSenseCheck':
      openers.showSenseCheck();
      return;
    case 'goTo':
      openers.goTo(action.address);
      return;
    case 'nothing':
      return;
    default:
      assertNever(action, 'An action that nobody performs');
  }
}
