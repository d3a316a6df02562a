import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';

const source = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** What the rules of axe-core find on the page as it stands: the rule, and where it is broken. Empty: nothing. */
export async function axeComplaints(page: Page): Promise<string[]> {
  // As a debugger would, since the page's policy lets in no script from elsewhere.
  await page.evaluate(source);
  const found: AxeResults = await page.evaluate('axe.run(document, { resultTypes: ["violations"] })');
  return found.violations.flatMap(({ id, help, nodes }) =>
    nodes.map(({ html }) => `${id}: ${help}, at ${html.slice(0, 200)}`),
  );
}
