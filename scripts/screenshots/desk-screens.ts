import { setTimeout as wait } from 'node:timers/promises';
import type { Page } from 'playwright-core';
import { photograph } from './photograph.ts';

/** What is prepared and answered at the desk, on the demo workshop. */
const screens: readonly (readonly [name: string, address: string])[] = [
  ['run-sheets', '/bench/sheets'],
  ['run-sheet', '/bench/sheets/demo-sheet-1'],
  ['run-sheet-new', '/bench/sheets/new'],
  ['bench-items', '/bench/items'],
  ['plans', '/bench/plans'],
  ['sessions', '/logbook/sessions'],
  ['session', '/logbook/sessions/demo-session-1'],
  ['audience', '/audience'],
  ['tools', '/tools'],
  ['tool', '/tools/demo-hollin-h5'],
  ['compare', '/compare'],
  ['compare-not-alike', comparing('demo-skarth-s4', 'demo-brindlow-b4')],
  ['standings', '/standings'],
  ['standings-table', '/standings/demo-table-half-inch'],
  ['standings-cell', cell('demo-ostrel-o6', 'forward')],
  ['standings-editions', '/standings/demo-table-half-inch/editions'],
  ['standings-sensitivity', '/standings/demo-table-half-inch/sensitivity'],
  ['schemes', '/standings/schemes'],
];

export async function photographDesk(page: Page, origin: string): Promise<void> {
  for (const [name, address] of screens) {
    await page.goto(`${origin}${address}`);
    await page.getByRole('heading').first().waitFor();
    // Curves and place ranges come after the page.
    await wait(2500);
    await photograph(page, name);
  }
}

function comparing(a: string, b: string): string {
  return `/compare?a=${encodeURIComponent(`setup:setup-${a}`)}&b=${encodeURIComponent(`setup:setup-${b}`)}`;
}

function cell(tool: string, termId: string): string {
  return `/standings/demo-table-half-inch/cell/${encodeURIComponent(`setup:setup-${tool}`)}/${termId}`;
}
