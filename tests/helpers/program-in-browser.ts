import { afterAll, beforeAll } from 'vitest';
import type { Browser } from 'playwright-core';
import { openBrowser } from './browser-page.ts';
import { startProgram, type RunningProgram } from './running-program.ts';
import { makeDataFolder } from './running-services.ts';

export interface ProgramInBrowser {
  readonly folder: string;
  readonly program: RunningProgram;
  readonly browser: Browser;
}

/** One program and one browser for the tests of a file; what is returned is filled before the first of them. */
export function useProgramInBrowser(): ProgramInBrowser {
  const running = {} as { -readonly [Key in keyof ProgramInBrowser]: ProgramInBrowser[Key] };
  let removeFolder = (): void => undefined;
  beforeAll(async () => {
    const { path, remove } = makeDataFolder();
    removeFolder = remove;
    running.folder = path;
    running.program = await startProgram(path);
    running.browser = await openBrowser();
  });
  afterAll(async () => {
    await running.browser.close();
    await running.program.end();
    removeFolder();
  });
  return running;
}
