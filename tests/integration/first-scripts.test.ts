import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { buildStaleParts } from '../../scripts/build-parts.mjs';
import { inProject } from '../../scripts/project-root.mjs';

const page = inProject('dist', 'renderer');
/** The largest that was seen when this was written, and a tenth more. */
const MOST_CHARACTERS = 480_000;

describe('what the page reads before its first picture', async () => {
  await buildStaleParts(() => undefined);
  const html = readFileSync(`${page}/index.html`, 'utf8');
  const scripts = [...html.matchAll(/<script [^>]*src="([^"]+)"/g)].map(([, path = '']) => path);
  const text = scripts.map((path) => readFileSync(page + path, 'utf8')).join('\n');

  it('is a few files, all of them named in the first answer', () => {
    expect(scripts.length).toBeGreaterThan(1);
    expect(scripts.length).toBeLessThan(6);
    const imported = [...text.matchAll(/from"\.\/([^"]+)"/g)].map(([, name = '']) => `/assets/${name}`);
    for (const path of imported) expect(scripts).toContain(path);
  });

  it('holds no schema, no list that opens, no dialog and no drawing library', () => {
    expect(text).toContain('primary-control');
    for (const part of ['ZodObject', 'ui-select-list', 'ui-dialog-veil', 'is not a registered']) {
      expect(text.includes(part), part).toBe(false);
    }
  });

  it('is no longer than it has to be', () => {
    expect(text.length).toBeLessThan(MOST_CHARACTERS);
  });

  it('comes with the typeface that the first picture is drawn in', () => {
    expect(html).toMatch(/<link rel="preload" as="font" [^>]*inter-latin-wght-normal-[^"]+\.woff2"/);
  });

  it('has nothing in the page itself that the content security policy forbids', () => {
    expect(html).not.toMatch(/<script(?![^>]* src=)|<style|\son\w+=/);
  });
});
