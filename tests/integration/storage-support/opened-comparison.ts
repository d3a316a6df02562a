import { onTestFinished } from 'vitest';
import type { RequestParams } from '../../../shared-lib/api-contract.ts';
import type { Comparison } from '../../../shared-lib/comparison/comparison-model.ts';
import type { QualityGate } from '../../../shared-lib/run-sheet/session-model.ts';
import { createComparisonParts } from '../../../main/comparison/comparison-parts.ts';
import { recordingWriterEntry } from '../../../main/hosts/program-files.ts';
import { startRecordingWriter } from '../../../main/hosts/start-recording-writer.ts';
import { createLogger } from '../../../main/platform/logger.ts';
import type { WritableDatabase } from '../../../main/storage/database.ts';
import { createRecordingWriter, type RecordingWriter } from '../../../main/trials/recording-writer.ts';
import { databasePath, open } from './bench-fixture.ts';
import { type ComparedBench, createComparedBench, forwardStep, keyOf } from './compared-bench.ts';
import { temporaryFolder } from './temporary-folder.ts';

/** What a test may turn while it runs. */
export interface Circumstances {
  gate: QualityGate;
  isTrialUnderWay: boolean;
  now: string;
}

type Asked = Partial<RequestParams<'compare'>>;

export interface OpenedComparison {
  readonly database: WritableDatabase;
  readonly bench: ComparedBench;
  readonly circumstances: Circumstances;
  readonly handlers: ReturnType<typeof createComparisonParts>['handlers'];
  /** Hollin H5 against Tarnwick T6, by the sustained torque of five seconds forward unless asked otherwise. */
  compared(asked?: Asked): Promise<Comparison>;
  /** Why they are not compared. */
  refusal(asked?: Asked): Promise<string[]>;
}

/** The services that compare, on a database file and with a writer thread of their own. */
export function openComparison(): OpenedComparison {
  const folder = temporaryFolder();
  const database = open(folder);
  // Most tests measure nothing anew, and a thread takes a second to start.
  let started: RecordingWriter | null = null;
  const writer: RecordingWriter = {
    perform: (command) => {
      started ??= createRecordingWriter(
        () => startRecordingWriter(recordingWriterEntry, databasePath(folder)),
        createLogger(() => undefined),
      );
      return started.perform(command);
    },
    close: (limitMs) => started?.close(limitMs) ?? Promise.resolve(),
  };
  onTestFinished(async () => {
    await writer.close(5000);
    database.close();
  });
  const circumstances: Circumstances = {
    gate: 'goodOnly',
    isTrialUnderWay: false,
    now: '2026-05-01T00:00:00.000Z',
  };
  const { handlers } = createComparisonParts({
    database,
    clock: { monotonicUs: () => 0, now: () => new Date(circumstances.now) },
    writer,
    operator: () => 'Demo operator',
    qualityGate: () => circumstances.gate,
    isTrialUnderWay: () => circumstances.isTrialUnderWay,
    emit: () => undefined,
  });
  const ask = (asked: Asked) =>
    Promise.resolve(
      handlers.compare({
        step: forwardStep,
        a: keyOf('hollin'),
        b: keyOf('tarnwick'),
        sessionIds: null,
        isForced: false,
        measure: { figure: 'sustainedTorque' },
        ...asked,
      }),
    );
  return {
    database,
    bench: createComparedBench(database),
    circumstances,
    handlers,
    async compared(asked = {}) {
      const { result, notComparable } = await ask(asked);
      if (result === null) throw new Error(`Not compared: ${notComparable?.reasons.join(' ')}`);
      return result;
    },
    async refusal(asked = {}) {
      const { result, notComparable } = await ask(asked);
      if (notComparable === null) throw new Error(`Compared: ${result?.sentence}`);
      return notComparable.reasons;
    },
  };
}
