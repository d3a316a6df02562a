import { existsSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { axeComplaints } from '../helpers/axe-complaints.ts';
import { useProgramInBrowser } from '../helpers/program-in-browser.ts';
import { openPage } from '../helpers/browser-page.ts';

const running = useProgramInBrowser();

/** Two rises at 1000 Sa/s, as a spreadsheet of the continent writes them. */
function riseFile(): string {
  const rows = Array.from({ length: 4000 }, (_, slot) => {
    const timeS = slot / 1000 - 1;
    const rise = timeS <= 0 ? 0 : 1 - Math.exp(-timeS / 0.4);
    return `${timeS.toFixed(3)};${(300 * rise).toFixed(2)};${(200 * rise).toFixed(2)}`.replaceAll('.', ',');
  });
  return ['Time (s);Left (Nm);Right (Nm)', ...rows, ''].join('\r\n');
}

/** What lies with the program of files that were handed over. */
function handedOver(): string[] {
  const incoming = join(running.folder, 'incoming');
  return existsSync(incoming) ? readdirSync(incoming) : [];
}

describe('curves of a file', () => {
  it('are looked at, mapped and taken in, and what is refused keeps what was typed', async () => {
    const file = join(running.folder, 'curves.csv');
    writeFileSync(file, riseFile());
    const { page, complaints } = await openPage(running.browser, running.program.url);
    await page.getByRole('link', { name: 'Share', exact: true }).first().click();
    await page.getByRole('link', { name: 'Bring in', exact: true }).click();
    const ways = page.getByRole('radiogroup', { name: 'What comes in' });
    const panel = page.getByRole('region', { name: 'Curves of a file' });
    const picture = panel.getByRole('img', { name: /Left \(Nm\) up to 300/ });
    const choose = async () => {
      await ways.getByText('Curves of a file', { exact: true }).click();
      const [chooser] = await Promise.all([
        page.waitForEvent('filechooser'),
        panel.getByRole('button', { name: 'Choose a file of curves' }).click(),
      ]);
      await chooser.setFiles(file);
      await picture.waitFor();
    };
    await choose();
    expect(handedOver()).toHaveLength(1);
    await ways.getByText('Data package', { exact: true }).click();
    await expect.poll(handedOver).toEqual([]);
    await choose();
    // With the wrong decimal sign nothing can be read, and the line is named.
    await panel.getByRole('radio', { name: 'Point', exact: true }).click({ force: true });
    await panel.getByText(/^Line 2: “-1,000” is not a time/).waitFor();
    await panel
      .getByRole('radiogroup', { name: /decimals/ })
      .getByRole('radio', { name: 'Comma' })
      .click({ force: true });
    await picture.waitFor();
    expect(await axeComplaints(page)).toEqual([]);

    const field = (name: string | RegExp) => panel.getByRole('textbox', { name });
    await field(/^Tool of “Left/).fill('Left tool (demo)');
    await field(/^Tool of “Right/).fill('Right tool (demo)');
    await field(/^Bench it was/).fill('Bench B (demo)');
    await field(/^Stated uncertainty/).fill('2');
    await panel.getByLabel('Measured on', { exact: true }).fill('2999-01-01');
    const take = panel.getByRole('button', { name: 'Take in 2 trials' });
    await take.click();
    await panel.getByRole('alert').filter({ hasText: 'lies in the future' }).waitFor();
    expect(await field(/^Tool of “Left/).inputValue()).toBe('Left tool (demo)');

    await panel.getByLabel('Measured on', { exact: true }).fill('2026-02-03');
    await take.click();
    await panel.getByText('2 trials taken in.').waitFor();
    // The button goes with the file; the keyboard goes on from the heading.
    const heading = panel.getByRole('heading', { name: 'Curves of a file' });
    await expect.poll(() => heading.evaluate((element) => element === document.activeElement)).toBe(true);
    await expect.poll(handedOver).toEqual([]);
    await page.getByRole('table', { name: 'Taken in so far' }).getByText('Bench B (demo)').waitFor();
    await panel.getByRole('link', { name: 'Open the Logbook' }).click();
    await page.getByText('Left tool (demo)').first().waitFor();
    await page
      .getByText(/from Bench B \(demo\)/)
      .first()
      .waitFor();
    expect(complaints).toEqual([]);
    await page.close();
  });
});
