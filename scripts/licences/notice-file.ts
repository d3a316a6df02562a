import type { InstalledPackage } from './installed-packages.ts';

/** What the installers carry: every package that ships, its licence, and the words that its licence asks to go along. */
export function noticeText(shipped: readonly InstalledPackage[]): string {
  const head = [
    'Proofarm contains the packages below, each under its own licence. None of their files was changed. The source of each is published under',
    'its name and version in the public registry of npm. Electron, Chromium and Node.js come with notices of their own beside the program.',
    'Written by "npm run licences".',
  ].join('\n');
  const entries = shipped.map(({ name, version, licence, texts }) => {
    const body = texts.length > 0 ? texts.join('\n\n') : `(Its package carries no further text.)`;
    return `${'='.repeat(80)}\n${name} ${version} (${licence ?? 'no licence named'})\n\n${body}\n`;
  });
  return `${head}\n\n${entries.join('\n').replaceAll('\r\n', '\n')}`;
}
