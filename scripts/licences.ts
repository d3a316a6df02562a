import './require-node.mjs';
import { writeFileSync } from 'node:fs';
import { isAllowed, mayBuild, mayShip } from './licences/allowed-licences.ts';
import { type InstalledPackage, installedPackages } from './licences/installed-packages.ts';
import { askForVulnerabilities, unsafeForPeople } from './licences/known-vulnerabilities.ts';
import { noticeText } from './licences/notice-file.ts';
import { shippedPackages } from './licences/shipped-packages.ts';
import { inProject, projectRoot } from './project-root.mjs';

/**
 * `npm run licences`: name, version and licence of everything that ships and of what builds it, what is known to be unsafe in it, and the notices
 * that the installers carry. Ends with 1 where a licence is missing or not allowed, or where something that ships is known to be unsafe.
 */
const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};
const table = (packages: readonly InstalledPackage[]): void => {
  for (const { name, version, licence } of packages) {
    say(`  ${`${name} ${version}`.padEnd(58)} ${licence ?? 'NONE'}`);
  }
};

const installed = installedPackages(projectRoot);
const shipped = await shippedPackages(projectRoot, installed);
const isShipped = new Set(shipped);
const builders = installed.filter((entry) => !isShipped.has(entry));
say(`Ships with the program, ${shipped.length} packages:`);
table(shipped);
say(`Builds and tests it, ${builders.length} packages:`);
table(builders);

const refused = [
  ...shipped.filter(({ licence }) => licence === null || !isAllowed(licence, mayShip)),
  ...builders.filter(({ licence }) => licence === null || !isAllowed(licence, { ...mayShip, ...mayBuild })),
];
say(
  refused.length === 0
    ? 'Every licence is allowed; scripts/licences/allowed-licences.ts says why.'
    : `Not allowed, or no licence named: ${refused.map(({ name, licence }) => `${name} (${licence ?? 'none'})`).join(', ')}. Read it, then decide in scripts/licences/allowed-licences.ts.`,
);

const textless = shipped.filter(({ texts }) => texts.length === 0);
const noticeFile = 'packaging/third-party-licences.txt';
writeFileSync(inProject(noticeFile), noticeText(shipped));
say(
  `Wrote ${noticeFile}.${textless.length === 0 ? '' : ` Without a text of their own: ${textless.map(({ name }) => name).join(', ')}.`}`,
);

const check = await askForVulnerabilities(projectRoot);
if (!check.isChecked) {
  say(`Known vulnerabilities were NOT checked: ${check.why}.`);
} else {
  say(`Known vulnerabilities in ${check.found.length} packages.`);
  for (const { name, severity, titles } of check.found) say(`  ${name}: ${severity}; ${titles.join('; ')}`);
}
process.exitCode = refused.length > 0 || unsafeForPeople(check, shipped).length > 0 ? 1 : 0;
