import { setTimeout as wait } from 'node:timers/promises';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Services } from '../../main/services.ts';

const ATTEMPTS = 60;

/** Zero and arm, as soon as the bench lets it: after a run the transducer needs a moment of rest. */
export async function armWhenAtRest(handlers: Services['handlers']): Promise<void> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      await handlers.takeZero({});
      await handlers.armTrial({});
      return;
    } catch (refusal) {
      if (!(refusal instanceof AppError) || attempt === ATTEMPTS) throw refusal;
      await wait(250);
    }
  }
}
