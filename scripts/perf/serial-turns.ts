import { getPriority } from 'node:os';
import { setTimeout as wait } from 'node:timers/promises';
import type {
  BareReaderCommand,
  BareReaderReport,
  ProgramCommand,
  ProgramReport,
  WriterCommand,
  WriterReport,
} from './messages.ts';
import { type MeasuredProcess, startMeasuredProcess } from './measured-process.ts';
import { childrenOf, cpuUsOf } from './process-cpu.ts';

/** What one turn found between two instants of steady reading. */
export interface SerialTurn {
  readonly lines: number;
  readonly lostLines: number;
  readonly cpuUs: number;
  /** Lines per second as the writer gave them. */
  readonly rateHz: number;
  /** Share of the lines that the writer was too late for. */
  readonly lateShare: number;
}

export interface ProgramTurn extends SerialTurn {
  /** What became of the trial. */
  readonly state: string;
  /** What the account granted the reader; the usual is 0, and less goes first. */
  readonly readerPriority: number;
}

export type SerialWriter = MeasuredProcess<WriterCommand, WriterReport>;

/** Code that has run for a while is compiled; a program that records has run for longer. */
const WARM_UP_MS = 2000;

/** One of the bare readers of `bare-reader-process.ts` on a port of its own. */
export async function bareTurn(
  kind: 'bytes' | 'lines',
  rateHz: number,
  durationS: number,
): Promise<SerialTurn> {
  const { writer, path } = await startWriter(rateHz);
  const reader = startMeasuredProcess<BareReaderCommand, BareReaderReport>('bare-reader-process.ts', [
    path,
    kind,
  ]);
  try {
    await reader.next('open');
    await wait(WARM_UP_MS);
    const look = async () => {
      reader.send({ type: 'count' });
      const { lines, sequence } = await reader.next('counted');
      return { lines, sequence, cpuUs: cpuUsOf(reader.pid), ...(await countWritten(writer)) };
    };
    const before = await look();
    await wait(durationS * 1000);
    const after = await look();
    const lines = after.lines - before.lines;
    return {
      lines,
      // Without sequence numbers what the writer could not give has to do.
      lostLines: kind === 'bytes' ? after.sequence - before.sequence - lines : after.dropped - before.dropped,
      cpuUs: after.cpuUs - before.cpuUs,
      ...pace(before, after),
    };
  } finally {
    await reader.end();
    await writer.end();
  }
}

/**
 * A real trial over the same kind of port. `disturb` is called once the run goes on, with the means to stall main.
 *
 * Lost lines are those of the whole record; processor time is that of main, with its storage, and of the reader, from one
 * second into the run to one second before its end.
 */
export async function programTurn(
  dataFolder: string,
  rateHz: number,
  plannedS: number,
  disturb: (stallMain: (durationMs: number) => void) => Promise<void>,
): Promise<ProgramTurn> {
  const { writer, path } = await startWriter(rateHz);
  const program = startMeasuredProcess<ProgramCommand, ProgramReport>('program-process.ts', [
    dataFolder,
    path,
    String(rateHz),
    String(plannedS),
  ]);
  try {
    program.on((report) => {
      if (report.type === 'push') writer.send({ ...report, type: 'load' });
      if (report.type === 'phase' && report.phase === 'waiting') {
        writer.send({ type: 'load', torqueNm: 900, durationS: plannedS + 0.3 });
      }
    });
    const running = new Promise<void>((resolve) => {
      program.on((report) => {
        if (report.type === 'phase' && report.phase === 'run') resolve();
      });
    });
    await program.next('ready', 60_000);
    const recorded = program.next('recorded', plannedS * 1000 + 90_000);
    program.send({ type: 'arm' });
    await Promise.race([running, recorded]);
    await wait(1000);

    const readers = childrenOf(program.pid);
    const pids = [program.pid, ...readers];
    const look = async () => {
      program.send({ type: 'count' });
      const { samples, stallCpuUs } = await program.next('counted');
      const cpuUs = pids.reduce((sum, pid) => sum + cpuUsOf(pid), 0) - stallCpuUs;
      return { samples, cpuUs, ...(await countWritten(writer)) };
    };
    const before = await look();
    const measured = wait((plannedS - 2) * 1000);
    await disturb((durationMs) => {
      program.send({ type: 'stall', durationMs });
    });
    await measured;
    const after = await look();
    const { state, lostSlots } = await recorded;
    return {
      lines: after.samples - before.samples,
      lostLines: lostSlots,
      cpuUs: after.cpuUs - before.cpuUs,
      state,
      readerPriority: Math.min(...readers.map(getPriority)),
      ...pace(before, after),
    };
  } finally {
    await program.end();
    await writer.end();
  }
}

interface Written {
  readonly atMs: number;
  readonly written: number;
  readonly dropped: number;
  readonly movedOn: number;
}

export async function startWriter(rateHz: number): Promise<{ writer: SerialWriter; path: string }> {
  const writer = startMeasuredProcess<WriterCommand, WriterReport>('line-writer-process.ts', [
    String(rateHz),
  ]);
  const { path } = await writer.next('port');
  return { writer, path };
}

async function countWritten(writer: SerialWriter): Promise<Written> {
  writer.send({ type: 'count' });
  const { written, dropped, movedOn } = await writer.next('written');
  return { atMs: performance.now(), written, dropped, movedOn };
}

function pace(before: Written, after: Written): { readonly rateHz: number; readonly lateShare: number } {
  const given = after.written + after.dropped - before.written - before.dropped;
  const late = after.movedOn - before.movedOn;
  return {
    rateHz: (given / (after.atMs - before.atMs)) * 1000,
    lateShare: late / (given + late),
  };
}
