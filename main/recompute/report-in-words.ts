import type { RecomputeFinding, RecomputeReport } from '../../shared-lib/package/package-model.ts';
import { printable } from './printable.ts';

/** What is said whatever came out, since nobody can find it here. */
const whatCannotBeFound = `What this cannot show: whether the raw counts were measured at all. Counts that were invented together with every figure that
follows from them agree. So do prices, names, ratings, weights and certificates that were never right. Margins, schemes of one's own
and exchange rates are taken as published. Nor does it show what was left out before the package was made. A package whose
fingerprint was published elsewhere at the time cannot be changed afterwards.`;

/** The report for a terminal: what agrees by kind, every difference in words, what could not be computed. */
export function reportInWords({
  fingerprint,
  trialCount,
  counts,
  agreeing,
  differing,
  findings,
}: RecomputeReport): string {
  const differences = findings.filter(({ isDifference }) => isDifference);
  const notes = findings.filter(({ isDifference }) => !isDifference);
  const width = Math.max(0, ...counts.map(({ what }) => what.length));
  const numberWidth = Math.max(0, ...counts.map((count) => String(count.agreeing).length));
  return [
    `Data package ${fingerprint}`,
    `${trialCount} ${trialCount === 1 ? 'trial' : 'trials'}, ${agreeing + differing} figures looked at.`,
    '',
    ...counts.map(
      (count) =>
        `  ${count.what.padEnd(width)}  ${String(count.agreeing).padStart(numberWidth)} agree${count.differing === 0 ? '' : `, ${count.differing} DIFFER`}`,
    ),
    '',
    ...(differences.length === 0 ? [] : ['What differs:', ...differences.map(lineOf), '']),
    ...(notes.length === 0 ? [] : ['Not computed again, and why:', ...notes.map(lineOf), '']),
    whatCannotBeFound,
    '',
    differing === 0
      ? `Everything that could be computed again agrees: ${agreeing} figures.`
      : `${differing} of ${agreeing + differing} figures DIFFER. This package does not say what its raw counts say.`,
    '',
  ].join('\n');
}

/** Names and texts in it are the package's own. */
function lineOf({ where, what }: RecomputeFinding): string {
  return `  ${printable(where)}: ${printable(what)}`;
}
