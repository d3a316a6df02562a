import process from 'node:process';
import { NotAPackage } from '../../shared-lib/recompute/not-a-package.ts';
import { recomputePackage } from '../../shared-lib/recompute/recompute-package.ts';
import { openPackage } from './open-package.ts';
import { printable, printableJson } from './printable.ts';
import { reportInWords } from './report-in-words.ts';

/** What comes out of `node recompute.mjs` and of `npx proofarm recompute`, which say how they are called. */
export interface Called {
  readonly as: string;
  readonly write: (text: string) => void;
  readonly complain: (text: string) => void;
}

function usageOf(as: string): string {
  return `${as} PACKAGE [--json]

Computes everything in a Proofarm data package again, from the raw counts, and prints what agrees and what does not.

  PACKAGE   the ZIP, or the folder that it was unpacked into; "." for this one
  --json    all findings as JSON
  --help    this text

Ends with 0 where everything agrees, with 1 where a figure differs, with 2 where it is no package that can be read.
`;
}

/** Returns the exit code. */
export async function recompute(argv: readonly string[], { as, write, complain }: Called): Promise<number> {
  if (argv.includes('--help')) {
    write(usageOf(as));
    return 0;
  }
  const paths = argv.filter((argument) => argument !== '--json');
  const [path] = paths;
  const mistaken = paths.find((argument) => argument.startsWith('-'));
  if (path === undefined || paths.length > 1 || mistaken !== undefined) {
    complain(
      `${mistaken === undefined ? 'Name one package: its ZIP or its folder.' : `There is no option ${mistaken}.`}\n\n${usageOf(as)}`,
    );
    return 2;
  }
  try {
    const report = await recomputePackage(openPackage(path));
    write(
      argv.includes('--json') ? printableJson(`${JSON.stringify(report, null, 1)}\n`) : reportInWords(report),
    );
    return report.differing === 0 ? 0 : 1;
  } catch (error) {
    if (!(error instanceof NotAPackage)) throw error;
    complain(`${printable(error.where)}: ${printable(error.message)}\nNothing was computed.\n`);
    return 2;
  }
}

export async function main(): Promise<void> {
  // Who reads the first lines and hangs up is still told by the exit code.
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
  });
  process.exitCode = await recompute(process.argv.slice(2), {
    as: 'node recompute.mjs',
    write: (text) => process.stdout.write(text),
    complain: (text) => process.stderr.write(text),
  });
}
