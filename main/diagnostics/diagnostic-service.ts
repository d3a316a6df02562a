import { existsSync, mkdirSync } from 'node:fs';
import { open, writeFile } from 'node:fs/promises';
import { homedir, hostname, release, type, userInfo } from 'node:os';
import { join } from 'node:path';
import { strToU8, zipSync } from 'fflate/browser';
import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { DiagnosticBundle } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { freeName } from '../../shared-lib/publishing/published-name.ts';
import type { Platform } from '../platform/platform.ts';
import { finishTarget } from '../work/finish-target.ts';
import { hidePersonal, type PersonalNames } from './hide-personal.ts';

/** The newest part of each log: weeks of ordinary use, and small enough to be sent. */
const MOST_LOG_BYTES = 1024 * 1024;

interface Entry {
  readonly name: string;
  readonly content: Uint8Array;
  readonly holds: string;
}

export interface DiagnosticService {
  /** Errors: AppError 'amplifier-not-connected' where raw bytes are wanted and none flow; 'storage-failed'. */
  makeBundle(includeRawBytes: boolean): Promise<DiagnosticBundle>;
}

/**
 * One file for whoever has to find a fault: what ran, on what, what went wrong, and what the amplifier really sent.
 *
 * A list of what is in it travels along. Names and folders of the user are taken out of every text; tools, trials and
 * measured torque are not in it at all.
 */
export function createDiagnosticService(tools: {
  readonly platform: Platform;
  readonly status: () => BenchStatus;
  readonly profile: () => AmplifierProfile | null;
  readonly operator: () => string;
  /** The last minute of bytes, in the form of a capture. */
  readonly takeRecentBytes: () => Promise<Uint8Array>;
}): DiagnosticService {
  const { platform } = tools;

  const textEntry = (name: string, text: string, holds: string): Entry => ({
    name,
    content: strToU8(hidePersonal(text, personalNames(platform.dataFolder, tools.operator()))),
    holds,
  });
  const jsonEntry = (name: string, value: unknown, holds: string): Entry =>
    textEntry(name, `${JSON.stringify(value, null, 2)}\n`, holds);

  return {
    async makeBundle(includeRawBytes) {
      const { amplifier, storage, obstacles, recentFaults } = tools.status();
      const entries: Entry[] = [
        jsonEntry(
          'versions.json',
          versions(platform),
          'versions of the program and of the system it runs on',
        ),
        jsonEntry(
          'amplifier.json',
          amplifier,
          'state of the connection, rates and counters, the newest line that could not be read',
        ),
        jsonEntry(
          'profile.json',
          tools.profile(),
          'the profile by which lines are read; empty without a connection',
        ),
        jsonEntry('faults.json', recentFaults, 'the last faults with their times'),
        jsonEntry(
          'bench.json',
          { storage, obstacles },
          'what stood in the way of a trial, and the state of the disk',
        ),
      ];
      for (const name of ['proofarm.log', 'proofarm.1.log']) {
        const text = await newestText(join(platform.dataFolder, name));
        if (text !== null) entries.push(textEntry(name, text, 'the newest part of the program’s log'));
      }
      if (includeRawBytes) {
        entries.push({
          name: 'last-minute.bin',
          content: await tools.takeRecentBytes(),
          holds: 'the last minute of bytes as the amplifier sent them, which the program can replay',
        });
      }
      entries.unshift(textEntry('contents.txt', listOf(entries), 'this list'));
      return store(platform, entries);
    },
  };
}

function personalNames(dataFolder: string, operator: string): PersonalNames {
  return {
    dataFolder,
    homeFolder: homedir(),
    userName: userInfo().username,
    computerName: hostname(),
    operator,
  };
}

function versions({ softwareVersion, host }: Platform): Record<string, string> {
  const { node, v8, electron } = process.versions as Record<string, string | undefined>;
  return {
    proofarm: softwareVersion,
    host,
    system: `${type()} ${release()} ${process.arch}`,
    node: node ?? '',
    v8: v8 ?? '',
    ...(electron === undefined ? {} : { electron }),
  };
}

async function newestText(path: string): Promise<string | null> {
  const file = await open(path).catch((error: unknown) => {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return null;
    throw error;
  });
  if (file === null) return null;
  try {
    const { size } = await file.stat();
    const start = Math.max(0, size - MOST_LOG_BYTES);
    const { buffer, bytesRead } = await file.read(Buffer.alloc(size - start), 0, size - start, start);
    const text = buffer.toString('utf8', 0, bytesRead);
    // The first line is a rest of one where the log was cut.
    return start === 0 ? text : text.slice(text.indexOf('\n') + 1);
  } finally {
    await file.close();
  }
}

function listOf(entries: readonly Entry[]): string {
  return [
    'For finding a fault. In this file:',
    '',
    ...entries.map(({ name, holds }) => `${name}: ${holds}`),
    '',
    'The names of the user, the operator and the computer and the paths of the home and data folder are written as',
    '<user>, <operator>, <computer>, <home> and <data folder>. Trials, tools and calibrations are not in it.',
    '',
  ].join('\n');
}

async function store({ dataFolder, clock }: Platform, entries: readonly Entry[]): Promise<DiagnosticBundle> {
  const folder = join(dataFolder, 'diagnostics');
  const stamp = clock.now().toISOString().replaceAll(/[-:]/g, '').replace('T', '-').slice(0, 15);
  // Two of one second are two files.
  const fileName = freeName(`proofarm-diagnostics-${stamp}.zip`, (candidate) =>
    [candidate, `${candidate}.part`].some((name) => existsSync(join(folder, name))),
  );
  const path = join(folder, fileName);
  try {
    mkdirSync(folder, { recursive: true });
    const zip = zipSync(Object.fromEntries(entries.map(({ name, content }) => [name, content])));
    await finishTarget(path, async (part) => {
      await writeFile(part, zip, { flag: 'wx', flush: true });
    });
  } catch (cause) {
    throw new AppError(
      'storage-failed',
      'The file for finding faults could not be written. Nothing else was changed. Make space on the disk, then try again.',
      {},
      cause,
    );
  }
  return {
    path,
    entries: entries.map(({ name, content, holds }) => ({ name, bytes: content.length, holds })),
  };
}
