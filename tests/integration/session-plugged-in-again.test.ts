import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { findRun } from '../helpers/find-run.ts';
import { serialTarget, type RunningSession } from '../helpers/running-session.ts';
import { fullSessionProfile as profile, useSessionsOnPorts, pause } from '../helpers/sessions-on-ports.ts';

const { start, plugIn, folder, afterwards } = useSessionsOnPorts();

describe('a device that is plugged in again', () => {
  const namedReader = fileURLToPath(new URL('../helpers/reader-with-named-ports.ts', import.meta.url));
  const device = (path: string, serialNumber: string): object => ({
    path,
    manufacturer: null,
    serialNumber,
    vendorId: '1a2b',
    productId: '0001',
  });
  const usbA = { serialNumber: 'A-17', vendorId: '1a2b', productId: '0001' };

  async function startNamed(): Promise<RunningSession & { list(...devices: object[]): void }> {
    const listFile = join(folder(), 'ports.json');
    const list = (...devices: object[]): void => {
      writeFileSync(listFile, JSON.stringify(devices));
    };
    list();
    process.env['PROOFARM_TEST_NAMED_PORTS'] = listFile;
    afterwards(() => {
      delete process.env['PROOFARM_TEST_NAMED_PORTS'];
    });
    return { ...(await start(namedReader)), list };
  }

  it('is known again on another port, and reading goes on there', async () => {
    const { session, list, until, identified, counts } = await startNamed();
    const before = plugIn();
    list(device(before.path, 'A-17'));
    await session.connect(serialTarget(before.path, profile));
    expect(identified).toEqual([{ path: before.path, usb: usbA }]);
    await until('samples', () => counts().length > 100);

    // There before the old one goes, which would else leave its name to it.
    const after = plugIn();
    expect(after.path).not.toBe(before.path);
    before.unplug();
    await until('the loss', () => session.status().link === 'reconnecting');
    list(device('/dev/null', 'B-04'), device(after.path, 'A-17'));
    await until('reconnection', () => session.status().link === 'connected');
    expect(session.status().portPath).toBe(after.path);
    expect(identified.at(-1)).toEqual({ path: after.path, usb: usbA });
    const soFar = counts().length;
    await until('samples again', () => counts().length > soFar + 100);
    findRun(after.written.counts, Int32Array.from(counts().slice(soFar)));
  });

  it('is not mistaken for another device on its old port, which is said and never opened', async () => {
    const { session, list, until, counts, faultsOf } = await startNamed();
    const linkPath = join(folder(), 'port');
    const amplifier = plugIn({ linkPath });
    list(device(linkPath, 'A-17'));
    await session.connect(serialTarget(linkPath, profile));
    await until('samples', () => counts().length > 100);
    amplifier.unplug();
    await until('the loss', () => session.status().link === 'reconnecting');
    const soFar = counts().length;

    const other = plugIn({ linkPath });
    list(device(linkPath, 'B-04'));
    await until('the refusal', () => session.status().problem?.sentence.includes('B-04') === true);
    expect(session.status()).toMatchObject({ link: 'reconnecting', problem: { code: 'port-not-found' } });
    await pause(700);
    expect(other.counters.written).toBe(0);
    expect(counts().length).toBe(soFar);

    other.unplug();
    amplifier.plugIn();
    list(device(linkPath, 'A-17'));
    await until('reconnection', () => session.status().link === 'connected');
    expect(faultsOf('disconnect')).toHaveLength(1);
  });

  it('is not opened at all where a kept one is asked for and another is on its port', async () => {
    const { session, list } = await startNamed();
    const amplifier = plugIn();
    list(device(amplifier.path, 'B-04'));
    await expect(session.connect(serialTarget(amplifier.path, profile, usbA))).rejects.toMatchObject({
      code: 'port-not-found',
      details: { otherDevice: 'B-04' },
    });
    expect(session.status().link).toBe('failed');
  });
});
