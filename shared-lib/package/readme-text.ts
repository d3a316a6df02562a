import type { PackageManifest } from './package-model.ts';
import { packageTables, tableFile } from './package-tables.ts';

/** `README.md`: what the package is, how to compute it again, and what its files hold. */
export function readmeText(manifest: PackageManifest, trialCount: number, licence: string | null): string {
  const { bench, subject, madeAt, softwareVersion, schemaVersion, definitionVersion } = manifest;
  return [
    `# ${oneLine(subject)}`,
    '',
    `A data package of bench "${oneLine(bench.name)}", made on ${madeAt} by Proofarm ${softwareVersion} ` +
      `(form ${schemaVersion}, definitions ${definitionVersion}). It holds ${trialCount} ${trialCount === 1 ? 'trial' : 'trials'} ` +
      'with every raw count.',
    ...(manifest.isSimulated
      ? [
          '',
          '**Simulated.** At least some of these trials were made by a simulated bench: they show nothing about real tools.',
        ]
      : []),
    '',
    '## Compute it again',
    '',
    'You need Node 22 or newer and this package, nothing else. Unpacked or not:',
    '',
    '```',
    'node recompute.mjs .',
    'node recompute.mjs PACKAGE.zip',
    '```',
    '',
    'It checks the size and SHA-256 of every file, then computes calibrations from their readings, the figures of every trial from its ' +
      'raw counts, and what was published from those, and prints what agrees and what does not. The exit code is 1 where something ' +
      'differs. The script comes with the package; if you doubt it, take one from the program itself or read it: the figures are defined in words in the report.',
    '',
    'It cannot show whether the raw counts were measured at all: counts that were invented together with every figure that follows ' +
      'from them agree, and so do prices, ratings and weights that were never right. Nor does it show what was left out before the ' +
      'package was made. Whoever publishes results can publish the fingerprint of the package with them, the SHA-256 of ' +
      '`datapackage.json`, which the script prints: then it cannot be changed afterwards without being noticed.',
    '',
    '## Files',
    '',
    '| file | holds |',
    '| --- | --- |',
    '| `datapackage.json` | Frictionless Data Package: every file with size, SHA-256 and the meaning of its columns |',
    '| `recompute.mjs` | the computation |',
    '| `data/counts/TRIAL.csv` | raw counts of a trial: slot on the sample clock, counts. A lost slot has no row |',
    '| `data/arrivals/TRIAL.csv` | when the computer had read a slot, in microseconds of its monotonic clock |',
    ...packageTables.map(({ name, description }) => `| \`${tableFile(name)}\` | ${description} |`),
    '| `tables/trial-figures.csv` | a line per trial for people; it follows from the above |',
    '| `published/*.json` | comparisons, standings and editions as they were shown |',
    '| `photos/*` | pictures of tools, where they were wanted |',
    '',
    '## Reading it',
    '',
    '- CSV by RFC 4180 in UTF-8, lines end with CR LF, a point for decimals. Numbers read back bit for bit.',
    '- Everything is in SI units: the unit is in the name of the column.',
    '- An empty cell is no value. An empty text in a column that may have no value is written as `""`.',
    '- Columns that end in `_json` hold JSON as it was stored. Times are UTC.',
    '- Torque = gain x (counts - zero), or the curve of the calibration where it has one; the calibration of a trial is the newest of ' +
      '`calibration_assignment`, else that of its own row. A transducer that reads the other way round has `sense_sign` -1.',
    '- Of several evaluations, annotations or relabellings of a trial the last one counts. Voided and interrupted trials are here too, with their reasons; so are those that were excluded after a failed daily check (`suspicion_decision`).',
    '- Weights calibrate slowly applied torque. Under blows the reading also depends on sample rate, filter and rig; that error is not included in any uncertainty stated here.',
    '- `tables/trial-figures.csv` has an apostrophe before a text that a spreadsheet would take for a formula; the files in `data/` are as stored, so do not open them in a spreadsheet unseen if you do not trust their maker.',
    '',
    licence === null
      ? 'No licence is stated: ask the owner of the bench before you publish these data again.'
      : `The data are given away under ${licence}.`,
    '',
  ].join('\n');
}

/** Names are written by people; in a heading they must not begin anything else. */
function oneLine(text: string): string {
  return text.replaceAll(/\s+/g, ' ').replaceAll(/([\\`*_[\]<>|#])/g, '\\$1');
}
