import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { freeName, publishedName } from '../../../../shared-lib/publishing/published-name.ts';

const madeAt = new Date(2026, 10, 6, 4, 2);
const nameOf = (title: string, extension = 'zip') =>
  publishedName({ title, holds: 'data package', isSimulated: false, madeAt, extension });

describe('the name of a published file', () => {
  it('says what it is of, what it holds, when it was made, and that it was simulated', () => {
    expect(
      publishedName({
        title: 'Hollin H5, pack 2 (demo) against Tarnwick T6',
        holds: 'data package',
        isSimulated: true,
        madeAt,
        extension: 'zip',
      }),
    ).toBe('hollin-h5-pack-2-demo-against-tarnwick-t6-simulated-data-package-2026-11-06-0402.zip');
  });

  it('takes the marks off letters and leaves out what ASCII has no letter for', () => {
    expect(nameOf('Café Größe №5')).toBe('cafe-gro-e-no5-data-package-2026-11-06-0402.zip');
    expect(nameOf('Пример')).toBe('data-package-2026-11-06-0402.zip');
  });

  it('has no ending where it is a folder', () => {
    expect(nameOf('Hollin H5', '')).toBe('hollin-h5-data-package-2026-11-06-0402');
  });

  it('is short, is no path and needs no quoting, whatever the title', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 0xffff }), { maxLength: 300 }), (units) => {
        const title = String.fromCharCode(...units);
        const name = nameOf(title);
        expect(name).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*\.zip$/);
        expect(name.length).toBeLessThan(130);
      }),
    );
  });

  it('gets a number where there is a file of that name already', () => {
    const taken = new Set(['a-b.zip', 'a-b-2.zip', 'folder']);
    const isTaken = (name: string) => taken.has(name);
    expect(freeName('a-c.zip', isTaken)).toBe('a-c.zip');
    expect(freeName('a-b.zip', isTaken)).toBe('a-b-3.zip');
    expect(freeName('folder', isTaken)).toBe('folder-2');
  });
});
