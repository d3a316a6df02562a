import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { PNG } from 'pngjs';
import { describe, expect, it } from 'vitest';
import { projectRoot } from '../../scripts/project-root.mjs';

// Not in the package's types: what electron-builder itself does first with a configuration.
const require = createRequire(import.meta.url);
const { getConfig, validateConfiguration } = require('app-builder-lib/out/util/config/config.js') as {
  getConfig(root: string, path: string | null, more: null): Promise<Record<string, unknown>>;
  validateConfiguration(
    config: unknown,
    log: { isEnabled: boolean; add(...said: unknown[]): void },
  ): Promise<void>;
};

const log = { isEnabled: false, add: () => undefined };
const config = await getConfig(projectRoot, null, null);

describe('the configuration of the installers', () => {
  it('passes the check of electron-builder itself, which refuses a key that it does not know', async () => {
    await validateConfiguration(config, log);
    await expect(validateConfiguration({ ...config, lunux: {} }, log)).rejects.toThrow(/lunux/);
  });

  it('has an icon of its own, large enough for every system', () => {
    const icon = PNG.sync.read(readFileSync(join(projectRoot, 'packaging', 'icon.png')));
    expect([icon.width, icon.height]).toEqual([1024, 1024]);
    // The corners are round.
    expect(icon.data[3]).toBe(0);
  });

  it('takes every built program along that is started as a file of its own', () => {
    const built = ['electron-main', 'reader-process', 'recording-writer-thread', 'work-thread'];
    for (const name of built) {
      expect(existsSync(join(projectRoot, 'dist', 'main', `${name}.js`)), name).toBe(true);
    }
    // As it is written, or as electron-builder's own check has put it in order by then.
    const files = JSON.stringify(config['files']);
    expect(files).toContain('dist/main/**');
    expect(files).toContain('dist/renderer/**');
  });
});
