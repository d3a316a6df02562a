import process from 'node:process';
import { recompute } from '../main/recompute/recompute-main.ts';

/** Returns the exit code. */
export function recomputeFromSources(argv: readonly string[]): Promise<number> {
  return recompute(argv, {
    as: 'npx proofarm recompute',
    write: (text) => process.stdout.write(text),
    complain: (text) => process.stderr.write(text),
  });
}
