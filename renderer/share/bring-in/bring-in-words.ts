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

/** What taking it in would come to, in a sentence or two. */
export function previewSentence({
  newEntries,
  added,
  isOwnBench,
  conflicts,
  manifest: { bench },
}: PackagePreview): string {
  if (conflicts.length > 0) {
    return 'It contradicts what is here under the same identity, so nothing of it can be taken in.';
  }
  const additions = `To what is here it adds what ${bench.name} has added since: ${added.join(', ')}.`;
  if (newEntries.length === 0) {
    return added.length === 0
      ? 'Taking it in would add nothing: what of it may come in is here already.'
      : `Nothing of it is new. ${additions}`;
  }
  const news = isOwnBench
    ? 'Taking it in adds what is not here, as made on this bench.'
    : `Taking it in adds what is new, marked as coming from ${bench.name}.`;
  return `${news} ${added.length === 0 ? 'What is here stays as it is.' : additions}`;
}

/** Who made it, with what. */
export function makerWords({ manifest }: PackagePreview): string {
  const simulated = manifest.isSimulated ? ' It holds simulated trials.' : '';
  return `Made by version ${manifest.softwareVersion} of the program.${simulated}`;
}
