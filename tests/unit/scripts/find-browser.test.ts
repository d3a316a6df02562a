import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { findBrowser } from '../../../scripts/find-browser.mjs';
import { findElectron, openWindow } from '../../../scripts/open-window.mjs';

describe('finding a browser', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'proofarm-browser-'));
  });
  afterEach(() => {
    vi.unstubAllEnvs();
    rmSync(folder, { recursive: true });
  });

  function place(...path: string[]): string {
    const file = join(folder, ...path);
    mkdirSync(join(file, '..'), { recursive: true });
    writeFileSync(file, '');
    return file;
  }

  it('takes the one that CHROME_PATH names, before any other', () => {
    place('bin', 'chromium');
    const named = place('own', 'browser');
    expect(findBrowser({ CHROME_PATH: named, PATH: join(folder, 'bin') }, 'linux')).toBe(named);
  });

  it('does not go on with another where CHROME_PATH names one that is not there', () => {
    const gone = join(folder, 'gone');
    place('bin', 'chromium');
    expect(() => findBrowser({ CHROME_PATH: gone, PATH: join(folder, 'bin') }, 'linux')).toThrow(gone);
  });

  it('opens no window where CHROME_PATH names a browser that was removed, and says so', async () => {
    const gone = join(folder, 'gone');
    vi.stubEnv('DISPLAY', ':7047');
    vi.stubEnv('CHROME_PATH', gone);
    const { note, process: window } = await openWindow('http://127.0.0.1:1/', folder);
    expect(note).toContain(`CHROME_PATH names ${gone}, which is not there`);
    expect(window).toBeNull();
  });

  it('looks along the path by name, the freest first', () => {
    place('first', 'google-chrome');
    const chromium = place('second', 'chromium');
    const path = `${join(folder, 'first')}:${join(folder, 'second')}`;
    expect(findBrowser({ PATH: path }, 'linux')).toBe(chromium);
  });

  it('looks among the applications of macOS', () => {
    const own = place('Applications', 'Chromium.app', 'Contents', 'MacOS', 'Chromium');
    expect(findBrowser({ HOME: folder, PATH: '' }, 'darwin')).toBe(own);
  });

  it('finds none where there is none', () => {
    expect(findBrowser({ PATH: join(folder, 'empty') }, 'linux')).toBeNull();
    expect(findBrowser({}, 'win32')).toBeNull();
  });

  it('finds Electron only where its program file is there', () => {
    const readPath = (): string => 'electron\n';
    expect(findElectron(folder, readPath)).toBeNull();
    place('path.txt');
    expect(findElectron(folder, readPath)).toBeNull();
    const program = place('dist', 'electron');
    expect(findElectron(folder, readPath)).toBe(program);
  });
});
