import { createAmplifierSession, type AmplifierSession } from '../../main/amplifier/amplifier-session.ts';
import type { AmplifierTarget } from '../../main/amplifier/amplifier-target.ts';
import type { LiveFault } from '../../main/amplifier/live-fault.ts';
import type { LossReason } from '../../main/amplifier/amplifier-listeners.ts';
import { forkReader } from '../../main/hosts/loopback/fork-reader.ts';
import { readerEntry } from '../../main/hosts/program-files.ts';
import { systemClock } from '../../main/platform/clock.ts';
import { createLogger } from '../../main/platform/logger.ts';
import type { ReaderHandle } from '../../main/platform/platform.ts';
import type { AmplifierProfile, UsbIdentity } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { FaultKind } from '../../shared-lib/trial/trial-model.ts';
import type { SampleBlock } from '../../shared-lib/signal/sample-block.ts';

export interface RunningSession {
  readonly session: AmplifierSession;
  readonly blocks: readonly SampleBlock[];
  readonly faults: readonly LiveFault[];
  readonly losses: readonly LossReason[];
  readonly identified: readonly { path: string; usb: UsbIdentity | null }[];
  readonly heard: readonly Uint8Array[];
  readonly listeningEnded: readonly (string | null)[];
  /** The reader processes started so far, the newest last. */
  readonly readers: readonly ReaderHandle[];
  /** The counts of all samples so far, without what gaps hold. */
  counts(): number[];
  faultsOf(kind: FaultKind): LiveFault[];
  /** Sets this computer's wall clock forward, or back, for the session only. */
  shiftWallClock(byMs: number): void;
  /** Nothing is done any more until it is let go on, as in a process that is held up. */
  stall(durationMs: number): void;
  until(what: string, condition: () => boolean, timeoutMs?: number): Promise<void>;
  close(): Promise<void>;
}

/** A real session with a real reader process. */
export function startSession(entryFile = readerEntry): RunningSession {
  const blocks: SampleBlock[] = [];
  const faults: LiveFault[] = [];
  const losses: LossReason[] = [];
  const identified: { path: string; usb: UsbIdentity | null }[] = [];
  const heard: Uint8Array[] = [];
  const listeningEnded: (string | null)[] = [];
  const readers: ReaderHandle[] = [];
  const log = createLogger(() => undefined);
  let wallShiftMs = 0;
  const session = createAmplifierSession(
    {
      log,
      clock: {
        monotonicUs: systemClock.monotonicUs,
        now: () => new Date(systemClock.now().getTime() + wallShiftMs),
      },
      startReader() {
        const reader = forkReader(entryFile, log);
        readers.push(reader);
        return reader;
      },
    },
    {
      onBlock: (block) => blocks.push(block),
      onFault: (fault) => faults.push(fault),
      onChange: () => undefined,
      onLost: (reason) => losses.push(reason),
      onIdentified: (path, usb) => identified.push({ path, usb }),
      onHeard: (bytes) => heard.push(bytes),
      onListeningEnded: (message) => listeningEnded.push(message),
    },
  );
  const timer = setInterval(() => {
    session.tick();
  }, 50);

  return {
    session,
    blocks,
    faults,
    losses,
    identified,
    heard,
    listeningEnded,
    readers,
    counts: () =>
      blocks.flatMap(({ counts, gaps }) =>
        [...counts].filter(
          (_, index) => !gaps.some(({ offset, length }) => index >= offset && index < offset + length),
        ),
      ),
    faultsOf: (kind) => faults.filter((fault) => fault.kind === kind),
    shiftWallClock(byMs) {
      wallShiftMs += byMs;
    },
    stall(durationMs) {
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, durationMs);
    },
    async until(what, condition, timeoutMs = 30_000) {
      const deadline = Date.now() + timeoutMs;
      while (!condition()) {
        if (Date.now() > deadline) {
          const seen = faults.map(({ kind, count }) => `${kind} ${count}`);
          throw new Error(
            `Waited in vain for: ${what}. ${JSON.stringify({ status: session.status(), seen })}`,
          );
        }
        await new Promise((resolve) => setTimeout(resolve, 20));
      }
    },
    async close() {
      clearInterval(timer);
      await session.close();
    },
  };
}

export function serialTarget(
  path: string,
  profile: AmplifierProfile,
  usb: UsbIdentity | null = null,
): AmplifierTarget {
  return { source: { kind: 'serial', path, usb }, profile, amplifier: null };
}
