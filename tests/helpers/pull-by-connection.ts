import { setTimeout as wait } from 'node:timers/promises';
import type { Connection } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';

const ATTEMPTS = 120;
const PAUSE_MS = 250;

/**
 * One pull of the step that the simulated bench is set to, kept whatever its quality: a busy machine makes a look of it.
 *
 * @returns its id.
 */
export async function pullByConnection(connection: Pick<Connection, 'request'>): Promise<string> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      await connection.request('armTrial', {});
      break;
    } catch (refusal) {
      // After a run the transducer needs a moment of rest.
      if (!(refusal instanceof AppError) || attempt === ATTEMPTS) throw refusal;
      await wait(PAUSE_MS);
    }
  }
  await until(connection, ({ trial }) => trial.phase === 'run');
  const { trial } = await until(connection, ({ trial: { phase } }) =>
    /kept|reviewing|interrupted/.test(phase),
  );
  if (!('trialId' in trial)) throw new Error('There was no trial');
  if (trial.phase !== 'kept') await connection.request('keepTrial', { trialId: trial.trialId });
  return trial.trialId;
}

async function until(
  connection: Pick<Connection, 'request'>,
  isSo: (status: BenchStatus) => boolean,
): Promise<BenchStatus> {
  for (;;) {
    const status = await connection.request('getStatus', {});
    if (isSo(status)) return status;
    await wait(20);
  }
}
