import { copyFileSync, existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type { Browser } from 'playwright-core';
import { axeComplaints } from '../helpers/axe-complaints.ts';
import { connectToProgram } from '../helpers/connect-to-program.ts';
import { makeDataFolder } from '../helpers/running-services.ts';
import { openBrowser, openPage } from '../helpers/browser-page.ts';
import { startProgram } from '../helpers/running-program.ts';

let browser: Browser;
const elsewhere = makeDataFolder();
const backupFile = join(elsewhere.path, 'yesterday.sqlite');

beforeAll(async () => {
  browser = await openBrowser();
  await makeYesterdaysBackup();
});
afterAll(async () => {
  await browser.close();
  elsewhere.remove();
});

/** On the computer of yesterday: a bench with two transducers, backed up. */
async function makeYesterdaysBackup(): Promise<void> {
  const folder = makeDataFolder();
  const program = await startProgram(folder.path);
  try {
    const connection = connectToProgram(program.url);
    await connection.request('updateSettings', { operator: 'Demo operator' });
    await connection.request('addTransducer', { name: 'Long bar' });
    const { jobId } = await connection.request('makeBackup', {});
    const fileName = await vi.waitFor(
      async () => {
        const { jobs } = await connection.request('listJobs', {});
        const job = jobs.find((one) => one.jobId === jobId);
        if (job?.state !== 'done' || job.fileName === null) throw new Error(job?.sentence ?? 'Not there');
        return job.fileName;
      },
      { timeout: 60_000, interval: 200 },
    );
    connection.close();
    copyFileSync(join(folder.path, 'backups', fileName), backupFile);
  } finally {
    await program.end();
    folder.remove();
  }
}

describe('a new computer', () => {
  it('goes on from the backup of yesterday in at most 3 actions', async () => {
    const folder = makeDataFolder();
    const program = await startProgram(folder.path);
    try {
      const { page, complaints } = await openPage(browser, program.url);
      let actions = 0;

      await page.getByRole('button', { name: 'Restore a backup' }).click();
      actions += 1;
      const chooser = page.waitForEvent('filechooser');
      await page.getByRole('button', { name: 'Choose a backup file' }).click();
      await (await chooser).setFiles(backupFile);
      actions += 1;
      await page.getByText(/kept in a backup of its own first/).waitFor();
      expect(await axeComplaints(page)).toEqual([]);
      const loadedAnew = page.waitForEvent('load');
      await page.getByRole('button', { name: 'Restore this backup' }).click();
      actions += 1;
      await loadedAnew;

      await page.getByText(/before a restore/).waitFor();
      const connection = connectToProgram(program.url);
      const { transducers } = await connection.request('listTransducers', {});
      const { operator } = await connection.request('getSettings', {});
      connection.close();
      expect(transducers.map(({ name }) => name)).toContain('Long bar');
      expect(operator).toBe('Demo operator');
      expect(actions).toBeLessThanOrEqual(3);
      expect(complaints).toEqual([]);
    } finally {
      await program.end();
      folder.remove();
    }
  });

  it('keeps a backup that was handed over for a look only as long as it is looked at', async () => {
    const folder = makeDataFolder();
    const incoming = join(folder.path, 'incoming');
    const handedOver = () => (existsSync(incoming) ? readdirSync(incoming) : []);
    const program = await startProgram(folder.path);
    try {
      const { page, complaints } = await openPage(browser, program.url);
      const choose = async () => {
        const chooser = page.waitForEvent('filechooser');
        await page.getByRole('button', { name: 'Choose a backup file' }).click();
        await (await chooser).setFiles(backupFile);
        await page.getByRole('button', { name: 'Restore this backup' }).waitFor();
        await expect.poll(handedOver).toHaveLength(1);
      };
      await page.getByRole('button', { name: 'Restore a backup' }).click();
      await choose();
      await page.getByRole('button', { name: 'Leave everything as it is' }).click();
      await expect.poll(handedOver).toEqual([]);
      const heading = page.getByRole('heading', { name: 'Restore', exact: true });
      await expect.poll(() => heading.evaluate((element) => element === document.activeElement)).toBe(true);
      await choose();
      const [first] = handedOver();
      await choose();
      await expect.poll(() => handedOver().includes(first ?? '')).toBe(false);
      await page.getByRole('link', { name: 'Back to Setup' }).click();
      await expect.poll(handedOver).toEqual([]);
      expect(complaints).toEqual([]);
    } finally {
      await program.end();
      folder.remove();
    }
  });

  it('says what is wrong with a file that is no backup, and stays as it is', async () => {
    const folder = makeDataFolder();
    const program = await startProgram(folder.path);
    try {
      const { page, complaints } = await openPage(browser, program.url);
      await page.getByRole('button', { name: 'Restore a backup' }).click();
      const chooser = page.waitForEvent('filechooser');
      await page.getByRole('button', { name: 'Choose a backup file' }).click();
      await (
        await chooser
      ).setFiles({
        name: 'holiday.sqlite',
        mimeType: 'application/octet-stream',
        buffer: Buffer.from('Not a database.'.repeat(100)),
      });
      await page.getByText(/is damaged/).waitFor();
      await page.getByRole('button', { name: 'Back up now' }).click();
      await page.getByText(/asked for/).waitFor();
      await page.getByRole('button', { name: /^Verify/ }).click();
      await page.getByText(/every block of samples hold/).waitFor();
      expect(complaints).toEqual([]);
    } finally {
      await program.end();
      folder.remove();
    }
  });
});
