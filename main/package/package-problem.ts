import { AppError } from '../../shared-lib/app-error.ts';
import { UnreadableLine } from '../../shared-lib/package/pair-reader.ts';

/** What is wrong with a package, where, and that nothing of it was taken in. `problem` is a sentence or more. */
export function invalidPackage(
  file: string | null,
  line: number | null,
  problem: string,
  cause?: unknown,
): AppError {
  const where = file === null ? '' : line === null ? `${file}: ` : `${file}, line ${line}: `;
  return new AppError(
    'package-invalid',
    `${where}${problem} Nothing was taken in, and nothing here was changed. Ask whoever made the package for it again.`,
    { file, line },
    cause,
  );
}

/** Of a newer version of the program than this one. */
export function newerPackage(what: string): AppError {
  return new AppError(
    'package-invalid',
    `${what} Nothing was taken in, and nothing here was changed. Take it in with a newer version of the program.`,
  );
}

/** What went wrong with reading a file of it. AppErrors stay as they are. */
export function readingProblem(file: string, error: unknown): unknown {
  if (error instanceof AppError) return error;
  if (error instanceof UnreadableLine) return invalidPackage(file, error.line, error.message, error);
  return error;
}
