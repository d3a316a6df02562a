import type { PackagePreview } from '../../../shared-lib/exchange/exchange-requests.ts';

type Counts = PackagePreview['trials'];

/** "12 new, 88 here already". */
export function countWords({ newCount, knownCount }: Counts): string {
  if (newCount === 0 && knownCount === 0) return 'none';
  const parts = [
    ...(newCount > 0 ? [`${newCount} new`] : []),
    ...(knownCount > 0 ? [`${knownCount} here already`] : []),
  ];
  return parts.join(', ');
}

/** What taking it in would come to, in a sentence. */
export function previewSentence({
  trials,
  tools,
  calibrations,
  conflicts,
  manifest,
}: PackagePreview): string {
  if (conflicts.length > 0) {
    return 'It contradicts what is here under the same identity, so nothing of it can be taken in.';
  }
  const isNew = trials.newCount + tools.newCount + calibrations.newCount > 0;
  if (!isNew) return 'All of it is here already. Taking it in would add only what has happened to it since.';
  return `Taking it in adds what is new, marked as coming from ${manifest.bench.name}. What is here stays as it is.`;
}

/** Who made it, with what. */
export function makerWords({ manifest }: PackagePreview): string {
  const simulated = manifest.isSimulated ? ' It holds simulated trials.' : '';
  return `Made by version ${manifest.softwareVersion} of the program.${simulated}`;
}
