import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type { Page } from 'playwright-core';
import type { WebSocketConnection } from '../../renderer/api-client/websocket-connection.ts';
import { openPage } from '../helpers/browser-page.ts';
import { connectToProgram } from '../helpers/connect-to-program.ts';
import { useProgramInBrowser } from '../helpers/program-in-browser.ts';
import { draft, putInItemsFrom } from '../helpers/run-sheet-fixture.ts';

const running = useProgramInBrowser();
let connection: WebSocketConnection;

beforeAll(async () => {
  connection = connectToProgram(running.program.url);
  await connection.request('connectSimulatedBench', {});
});
afterAll(() => connection.close());

async function openAt(pathname: string): Promise<Page> {
  const url = new URL(running.program.url);
  url.pathname = pathname;
  const { page } = await openPage(running.browser, url.href);
  return page;
}

describe('the step on the Bench', () => {
  it('has both the name that was typed and the direction that was clicked out of its field', async () => {
    const page = await openAt('/bench');
    await page.getByRole('textbox', { name: 'Tool' }).fill('Corvane C8 (demo)');
    await page.getByText('Reverse', { exact: true }).click();
    await vi.waitFor(async () => {
      const { step } = await connection.request('getSettings', {});
      expect(step).toMatchObject({ toolName: 'Corvane C8 (demo)', direction: 'reverse' });
    });
    await page.getByRole('radio', { name: 'Reverse' }).waitFor();
    expect(await page.getByRole('radio', { name: 'Reverse' }).isChecked()).toBe(true);
    expect(await page.getByRole('textbox', { name: 'Tool' }).inputValue()).toBe('Corvane C8 (demo)');
    await page.close();
  });
});

describe('a field of Setup that was typed back to what is saved', () => {
  it('follows what another window saves, and does not put the older text back', async () => {
    await connection.request('updateSettings', { operator: 'Demo operator' });
    const page = await openAt('/setup');
    const field = page.getByRole('textbox', { name: 'Name or initials' });
    await field.focus();
    await page.keyboard.press('End');
    await page.keyboard.type('s');
    await page.keyboard.press('Backspace');
    await connection.request('updateSettings', { operator: 'Another operator' });
    await vi.waitFor(async () => {
      expect(await field.inputValue()).toBe('Another operator');
    });
    await page.keyboard.press('Tab');
    await page.waitForTimeout(300);
    expect(await connection.request('getSettings', {})).toMatchObject({ operator: 'Another operator' });
    await page.close();
  });
});

describe('the dialog of what is left of a run sheet', () => {
  it('keeps keys from the bench below, also where none of its controls has the focus', async () => {
    await putInItemsFrom(connection);
    const { id: runSheetId } = await connection.request('makeRunSheet', { draft: draft() });
    await connection.request('openRunSheet', { runSheetId });
    const page = await openAt('/bench');
    const primary = page.locator('.primary-control button');
    const before = await primary.textContent();
    expect(before).toContain('Take up');
    await page.getByRole('button', { name: 'What is left' }).click();
    const dialog = page.getByRole('dialog', { name: 'What is left' });
    await dialog.waitFor();
    // As where a control that had the focus was disabled or taken away, in browsers that leave it to the page then.
    await page.evaluate(() => {
      for (const key of [' ', 'z']) {
        document.body.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }));
        document.body.dispatchEvent(new KeyboardEvent('keyup', { key, bubbles: true }));
      }
    });
    await page.waitForTimeout(500);
    expect(await dialog.isVisible()).toBe(true);
    expect((await connection.request('getStatus', {})).trial.phase).toBe('idle');
    expect(await primary.textContent()).toBe(before);
    await page.close();
  });
});
