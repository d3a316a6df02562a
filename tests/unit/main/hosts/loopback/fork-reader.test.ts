import { fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { constants, getPriority, setPriority, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { ReaderReport } from '../../../../../main/amplifier/reader-protocol.ts';
import { forkReader } from '../../../../../main/hosts/loopback/fork-reader.ts';
import { readerEntry } from '../../../../../main/hosts/program-files.ts';
import { createLogger } from '../../../../../main/platform/logger.ts';
import type { ReaderHandle } from '../../../../../main/platform/platform.ts';

/** Answers every command with a report that holds it and a typed array; `close` makes it fail. */
const echo = `
process.on('message', (command) => {
  if (command.type === 'close') process.exit(7);
  process.send({ echoed: command, counts: new Int32Array([1, -2]) });
});
`;
function isGranted(pid: number): boolean {
  try {
    setPriority(pid, constants.priority.PRIORITY_HIGH);
    return true;
  } catch {
    return false;
  }
}

const silentLog = createLogger(() => undefined);

describe('the reader as a process of its own', () => {
  let folder: string;
  let reader: ReaderHandle;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'proofarm-reader-'));
    writeFileSync(join(folder, 'echo.mjs'), echo);
    reader = forkReader(join(folder, 'echo.mjs'), silentLog);
  });
  afterEach(() => {
    reader.kill();
    rmSync(folder, { recursive: true });
  });

  function nextReport(): Promise<ReaderReport> {
    return new Promise((resolve) => {
      const unsubscribe = reader.onReport((report) => {
        unsubscribe();
        resolve(report);
      });
    });
  }

  function exit(): Promise<number | null> {
    return new Promise((resolve) => {
      reader.onExit(resolve);
    });
  }

  it('takes commands and reports typed arrays as they are', async () => {
    const report = nextReport();
    reader.send({ type: 'listPorts', requestId: 3 });
    expect(await report).toStrictEqual({
      echoed: { type: 'listPorts', requestId: 3 },
      counts: new Int32Array([1, -2]),
    });
  });

  it('lets its owner decide when it ends, whatever signal reaches the whole group, and ends with its owner', async () => {
    const child = fork(readerEntry, [], { stdio: ['ignore', 'inherit', 'inherit', 'ipc'] });
    const ended = once(child, 'exit');
    child.send({ type: 'listPorts', requestId: 1 });
    await once(child, 'message');
    for (const signal of ['SIGINT', 'SIGHUP', 'SIGTERM'] as const) child.kill(signal);
    child.send({ type: 'listPorts', requestId: 2 });
    expect((await once(child, 'message'))[0]).toMatchObject({ requestId: 2 });
    child.disconnect();
    expect(await ended).toEqual([0, null]);
  });

  it('goes before everything else that runs, where the account may have that', async () => {
    const other = fork(join(folder, 'echo.mjs'), []);
    const child = fork(readerEntry, [], { stdio: ['ignore', 'inherit', 'inherit', 'ipc'] });
    const usual = getPriority(Number(other.pid));
    child.send({ type: 'listPorts', requestId: 1 });
    await once(child, 'message');
    expect(getPriority(Number(child.pid))).toBe(
      isGranted(Number(other.pid)) ? constants.priority.PRIORITY_HIGH : usual,
    );
    for (const one of [child, other]) one.kill('SIGKILL');
  });

  it('says with which code it ended by itself', async () => {
    const ended = exit();
    reader.send({ type: 'close' });
    expect(await ended).toBe(7);
  });

  it('says that it has ended when it is killed, and drops what is sent after that', async () => {
    const ended = exit();
    reader.kill();
    expect(await ended).toBeNull();
    expect(() => {
      reader.send({ type: 'close' });
    }).not.toThrow();
  });

  it('ends its subscriptions one by one', async () => {
    const heard: string[] = [];
    const unsubscribe = reader.onReport(() => heard.push('ended'));
    reader.onReport(() => heard.push('stays'));
    const first = nextReport();
    reader.send({ type: 'listPorts', requestId: 1 });
    await first;
    unsubscribe();
    const second = nextReport();
    reader.send({ type: 'listPorts', requestId: 2 });
    await second;
    expect(heard).toStrictEqual(['ended', 'stays', 'stays']);
  });

  it('ends with a code where its file is missing', async () => {
    const missing = forkReader(join(folder, 'missing.mjs'), silentLog);
    const code = await new Promise((resolve) => {
      missing.onExit(resolve);
    });
    expect(code).toBe(1);
  });
});
