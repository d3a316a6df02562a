import { describe, expect, it } from 'vitest';
import { useProgramInBrowser } from '../helpers/program-in-browser.ts';
import { keepWhenAsked } from '../helpers/bench-in-browser.ts';
import { countUserActions } from '../helpers/count-user-actions.ts';
import { openPage } from '../helpers/browser-page.ts';

const running = useProgramInBrowser();

describe('a first start without hardware', () => {
  it('leads to a kept trial with its figures in at most 3 actions and 60 s', async () => {
    const { page, complaints } = await openPage(running.browser, running.program.url);
    const began = Date.now();
    const actions = await countUserActions(page);

    await page.getByRole('button', { name: 'Try it on the simulated bench' }).click();
    await page.getByRole('button', { name: /^Start/ }).waitFor();
    await page.keyboard.press('Space');
    await page.getByText(/^Quality: /).waitFor();
    const result = page.getByRole('region', { name: /result/i });
    await keepWhenAsked(page, result.getByText('Final torque', { exact: true }));
    await page
      .getByText('static calibration; dynamic error not included', { exact: false })
      .first()
      .waitFor();
    expect(await actions.total()).toBeLessThanOrEqual(3);
    expect(Date.now() - began).toBeLessThan(60_000);
    expect(complaints).toEqual([]);
  });
});
