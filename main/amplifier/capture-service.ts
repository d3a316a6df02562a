import { createReadStream } from 'node:fs';
import { mkdir, readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { createCaptureReader, type CaptureHeader } from '../../shared-lib/amplifier/capture-format.ts';
import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { CaptureSummary } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Clock } from '../platform/clock.ts';
import type { Logger } from '../platform/logger.ts';
import type { AmplifierSession } from './amplifier-session.ts';

/** A name that is no path: from a window nothing else may lead to a file. */
const FILE_NAME = /^[A-Za-z0-9][A-Za-z0-9._-]*\.bin$/;
const CHUNK_BYTES = 1024 * 1024;

export interface CaptureService {
  start(): Promise<{ fileName: string }>;
  stop(): Promise<CaptureSummary>;
  /** The newest first; without the one that is being written, and without files that are no captures. */
  list(): Promise<{ captures: CaptureSummary[] }>;
  /** What is needed to play a file. Errors: AppError 'capture-not-found', 'capture-damaged'. */
  find(fileName: string): Promise<{ filePath: string; profile: AmplifierProfile }>;
}

interface CaptureFacts {
  readonly summary: CaptureSummary;
  readonly profile: AmplifierProfile;
}

/** Captures of the port's bytes: files in a folder of their own in the data folder. */
export function createCaptureService(tools: {
  dataFolder: string;
  clock: Clock;
  log: Logger;
  amplifier: Pick<AmplifierSession, 'startCapture' | 'stopCapture' | 'status'>;
}): CaptureService {
  const { clock, log, amplifier } = tools;
  const folder = join(tools.dataFolder, 'captures');
  /** Reading a long file through takes a while, and only the one being written changes. */
  const known = new Map<string, CaptureFacts>();

  const pathOf = (fileName: string): string => {
    if (FILE_NAME.test(fileName)) return join(folder, fileName);
    throw notFound(fileName);
  };

  const readFacts = async (fileName: string): Promise<CaptureFacts> => {
    const filePath = pathOf(fileName);
    const { size } = await stat(filePath).catch((cause: unknown) => {
      throw notFound(fileName, cause);
    });
    const present = known.get(fileName);
    if (present?.summary.bytes === size) return present;
    const { header, durationS } = await readThrough(filePath);
    const { startedAt, profile } = header;
    const facts = {
      summary: { fileName, bytes: size, startedAt, durationS, profileName: profile.name },
      profile,
    };
    known.set(fileName, facts);
    return facts;
  };

  return {
    async start() {
      await mkdir(folder, { recursive: true, mode: 0o700 }).catch((cause: unknown) => {
        throw new AppError(
          'storage-failed',
          'The folder for captures could not be made, so no capture was started. See to the data folder, then start it again.',
          { path: folder },
          cause,
        );
      });
      const fileName = `capture-${fileStamp(clock.now())}.bin`;
      await amplifier.startCapture(join(folder, fileName));
      return { fileName };
    },

    async stop() {
      const fileName = amplifier.status().capture?.fileName ?? '';
      await amplifier.stopCapture();
      return (await readFacts(fileName)).summary;
    },

    async list() {
      const names = await namesIn(folder);
      const beingWritten = amplifier.status().capture?.fileName;
      const captures: CaptureSummary[] = [];
      for (const fileName of names) {
        if (!FILE_NAME.test(fileName) || fileName === beingWritten) continue;
        try {
          captures.push((await readFacts(fileName)).summary);
        } catch (cause) {
          if (!(cause instanceof AppError)) throw cause;
          log.warn('A file among the captures was passed over', { code: cause.code, path: fileName });
        }
      }
      captures.sort((first, second) => (first.startedAt < second.startedAt ? 1 : -1));
      return { captures };
    },

    async find(fileName) {
      const { profile } = await readFacts(fileName);
      return { filePath: pathOf(fileName), profile };
    },
  };
}

/** None where there has been no capture yet. */
async function namesIn(folder: string): Promise<string[]> {
  try {
    return await readdir(folder);
  } catch (cause) {
    if (cause instanceof Error && 'code' in cause && cause.code === 'ENOENT') return [];
    throw new AppError(
      'storage-failed',
      'The folder of the captures could not be read. The captures are untouched. See to the data folder, then look again.',
      { path: folder },
      cause,
    );
  }
}

async function readThrough(filePath: string): Promise<{ header: CaptureHeader; durationS: number }> {
  const reader = createCaptureReader();
  let durationUs = 0;
  for await (const chunk of createReadStream(filePath, { highWaterMark: CHUNK_BYTES })) {
    for (const { sinceLastUs } of reader.push(chunk as Uint8Array)) durationUs += sinceLastUs;
  }
  return { header: reader.finishedHeader(), durationS: durationUs / 1e6 };
}

/** YYYYMMDD-HHMMSS in local time, by which the user looks for it. */
function fileStamp(date: Date): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  const day = `${date.getFullYear()}${two(date.getMonth() + 1)}${two(date.getDate())}`;
  return `${day}-${two(date.getHours())}${two(date.getMinutes())}${two(date.getSeconds())}`;
}

function notFound(fileName: string, cause?: unknown): AppError {
  return new AppError(
    'capture-not-found',
    'There is no such capture. Nothing was played. Refresh the list and choose another one.',
    { fileName },
    cause,
  );
}
