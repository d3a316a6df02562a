import type { Page } from 'playwright-core';

export interface UserActions {
  /** Keys and clicks since the counting began. */
  total(): Promise<number>;
}

/** Counts what reaches the page as a person's key or click, however the test brought it about. Ends with a reload. */
export async function countUserActions(page: Page): Promise<UserActions> {
  const counter = await page.evaluateHandle(() => {
    const counted = { total: 0 };
    for (const name of ['keydown', 'pointerdown']) {
      addEventListener(
        name,
        ({ isTrusted }) => {
          if (isTrusted) counted.total += 1;
        },
        { capture: true },
      );
    }
    return counted;
  });
  return { total: () => counter.evaluate(({ total }) => total) };
}
