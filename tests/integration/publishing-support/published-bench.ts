import { randomUUID } from 'node:crypto';
import { existsSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import type { EventName } from '../../../shared-lib/api-contract.ts';
import type { Job, PublishingOrder } from '../../../shared-lib/publishing/publishing-model.ts';
import { composeServices } from '../../../main/compose-services.ts';
import { forkReader } from '../../../main/hosts/loopback/fork-reader.ts';
import { readerEntry, recordingWriterEntry } from '../../../main/hosts/program-files.ts';
import { startRecordingWriter } from '../../../main/hosts/start-recording-writer.ts';
import { systemClock } from '../../../main/platform/clock.ts';
import { createLogger } from '../../../main/platform/logger.ts';
import type { Platform } from '../../../main/platform/platform.ts';
import type { Services } from '../../../main/services.ts';
import { toolsOfHost } from '../../helpers/tools-of-host.ts';
import { open } from '../storage-support/bench-fixture.ts';
import { type ComparedBench, createComparedBench } from '../storage-support/compared-bench.ts';
import { temporaryFolder } from '../storage-support/temporary-folder.ts';

export interface PublishedBench {
  readonly dataFolder: string;
  /** Where what was made lies. */
  readonly folder: string;
  readonly handlers: Services['handlers'];
  readonly events: readonly EventName[];
  readonly logLines: readonly string[];
  namesInside(): string[];
  /** Has it made and waits for what comes of it. */
  make(order: PublishingOrder): Promise<Job>;
  ended(jobId: string): Promise<Job>;
}

export interface BenchBefore {
  fill?(bench: ComparedBench): void;
  /** What lies in the data folder when the program starts. */
  prepare?(dataFolder: string): void;
  /** What a test brings of the host itself. */
  readonly host?: Partial<Platform>;
}

/** The real services on an invented bench that is filled beforehand. */
export async function openPublishedBench({ fill, prepare, host }: BenchBefore = {}): Promise<PublishedBench> {
  const dataFolder = temporaryFolder();
  // Stands for the built script, which is made and tested elsewhere.
  const recomputeFile = join(temporaryFolder(), 'recompute.mjs');
  writeFileSync(recomputeFile, 'process.exitCode = 0;\n');
  const database = open(dataFolder, { filePath: join(dataFolder, 'proofarm.db') });
  fill?.(createComparedBench(database));
  database.close();
  prepare?.(dataFolder);
  const logLines: string[] = [];
  const log = createLogger((line) => logLines.push(line));
  const services = await composeServices({
    dataFolder,
    host: 'browser',
    softwareVersion: '0.0.0-test',
    clock: systemClock,
    log,
    startReader: () => forkReader(readerEntry, log),
    startRecordingWriter: (databasePath) => startRecordingWriter(recordingWriterEntry, databasePath),
    ...toolsOfHost,
    recomputeFile,
    ...host,
  });
  onTestFinished(() => services.close());
  const events: EventName[] = [];
  services.onEvent((name) => {
    events.push(name);
  });
  const { handlers } = services;
  const folder = join(dataFolder, 'published');
  const ended = async (jobId: string): Promise<Job> => {
    for (let tries = 0; tries < 3000; tries += 1) {
      const { jobs } = await handlers.listJobs({});
      const job = jobs.find((one) => one.jobId === jobId);
      if (job !== undefined && job.state !== 'waiting' && job.state !== 'working') return job;
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
    throw new Error(`The job ${jobId} does not end`);
  };
  return {
    dataFolder,
    folder,
    handlers,
    events,
    logLines,
    namesInside: () => (existsSync(folder) ? readdirSync(folder).sort() : []),
    async make(order) {
      const { jobId } = await handlers.startPublishing({ order });
      return ended(jobId);
    },
    ended,
  };
}

/** Two tools, three rounds each, with raw counts. */
export function pullThreeRounds(bench: ComparedBench): void {
  bench.sheet('sheet-1', 3);
  for (const round of [1, 2, 3]) {
    bench.pullCurve({ tool: 'hollin', risesToNm: 330 + round, tauS: 0.4, round, id: randomUUID() });
    bench.pullCurve({ tool: 'tarnwick', risesToNm: 300 + round, tauS: 0.4, round, id: randomUUID() });
  }
}
