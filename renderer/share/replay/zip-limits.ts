import { AppError } from '../../../shared-lib/app-error.ts';
import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { FrameRate } from './replay-timing.ts';

export interface ZipLimits {
  readonly mostFiles: number;
  readonly mostBytes: number;
}

/**
 * What a ZIP file without the extension for large ones can say of itself: files in 16 bits, places in 32, of which the greatest number
 * stands for "see the extension". Beyond them it would be written all the same and hold only a part.
 */
export const zipLimits: ZipLimits = { mostFiles: 0xffff - 1, mostBytes: 0xffff_ffff - 1 };

/** Beside its content: header, name and the words after it, and its line in the directory with the name again. */
const ENTRY_BYTES = 30 + 16 + 46;
const DIRECTORY_END_BYTES = 22;
const BYTES_PER_GIB = 2 ** 30;

/** Before anything is made. Errors: AppError 'input-out-of-range'. */
export function refuseTooManyFiles(fileCount: number, frameRate: FrameRate, { mostFiles }: ZipLimits): void {
  if (fileCount <= mostFiles) return;
  throw tooLarge(
    `A ZIP file holds ${formatNumber(mostFiles, 0)} files at most; this sequence has ${formatNumber(fileCount, 0)}.`,
    frameRate,
    { fileCount, mostFiles },
  );
}

/** How large the whole file becomes, its directory with it, as files are put in. */
export class ZipRoom {
  readonly #limits: ZipLimits;
  readonly #frameRate: FrameRate;
  #usedBytes = DIRECTORY_END_BYTES;

  constructor(limits: ZipLimits, frameRate: FrameRate) {
    this.#limits = limits;
    this.#frameRate = frameRate;
  }

  /** Before the file is put in; its name is plain. Errors: AppError 'input-out-of-range' where it has no room. */
  take(name: string, contentBytes: number): void {
    this.#usedBytes += ENTRY_BYTES + 2 * name.length + contentBytes;
    const { mostBytes } = this.#limits;
    if (this.#usedBytes <= mostBytes) return;
    throw tooLarge(
      `A ZIP file holds ${formatNumber(mostBytes / BYTES_PER_GIB, 0)}${THIN_SPACE}GiB at most, and the pictures of this replay take more; ${name} has no room.`,
      this.#frameRate,
      { mostBytes },
    );
  }
}

function tooLarge(
  sentence: string,
  frameRate: FrameRate,
  details: Readonly<Record<string, number>>,
): AppError {
  const ways = [
    ...(frameRate === 60 ? ['choose 30 frames/s'] : []),
    'save the video instead',
    'replay trials with a shorter planned time',
  ];
  const last = ways.pop() ?? '';
  return new AppError(
    'input-out-of-range',
    `${sentence} Nothing was saved, and no data were touched. To get a file, ${ways.join(', ')} or ${last}.`,
    details,
  );
}
