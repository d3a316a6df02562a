import { systemPorts } from '../../main/amplifier/amplifier-port.ts';
import type { ReaderCommand, ReaderReport } from '../../main/amplifier/reader-protocol.ts';
import { queueLimits, type QueueLimits } from '../../main/amplifier/report-queue.ts';
import { runReader } from '../../main/amplifier/run-reader.ts';
import { systemClock } from '../../main/platform/clock.ts';

type ReportOf<Type extends ReaderReport['type']> = Extract<ReaderReport, { type: Type }>;

export interface ReaderInProcess {
  send(command: ReaderCommand): void;
  of<Type extends ReaderReport['type']>(type: Type): ReportOf<Type>[];
  /** The samples reported so far, without what gaps hold. */
  counts(): number[];
  /** Tells the reader that everything reported so far has been taken. */
  acknowledge(): void;
  until(what: string, condition: () => boolean, timeoutMs?: number): Promise<void>;
}

/** The reader as it is, spoken to directly: for what main never lets happen. */
export function startReaderInProcess(limits: QueueLimits = queueLimits): ReaderInProcess {
  const reports: ReaderReport[] = [];
  let listener: (command: ReaderCommand) => void = () => undefined;
  runReader(
    {
      post: (report) => reports.push(report),
      onCommand: (onCommand) => (listener = onCommand),
    },
    systemClock,
    systemPorts,
    limits,
  );
  const of = <Type extends ReaderReport['type']>(type: Type): ReportOf<Type>[] =>
    reports.filter((report): report is ReportOf<Type> => report.type === type);

  return {
    send: (command) => {
      listener(command);
    },
    of,
    counts: () =>
      of('data').flatMap(({ blocks }) =>
        blocks.flatMap(({ counts, gaps }) =>
          [...counts].filter(
            (_, index) => !gaps.some(({ offset, length }) => index >= offset && index < offset + length),
          ),
        ),
      ),
    acknowledge() {
      const newest = [...of('data'), ...of('heard')].reduce(
        (most, { handedOverBytes }) => Math.max(most, handedOverBytes),
        0,
      );
      listener({ type: 'acknowledge', takenBytes: newest });
    },
    async until(what, condition, timeoutMs = 30_000) {
      const deadline = Date.now() + timeoutMs;
      while (!condition()) {
        if (Date.now() > deadline) throw new Error(`Waited in vain for: ${what}`);
        await new Promise((resolve) => setTimeout(resolve, 10));
      }
    },
  };
}
