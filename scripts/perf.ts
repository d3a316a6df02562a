import './require-node.mjs';
import { parseArgs } from 'node:util';
import { findTestBrowser } from './find-browser.mjs';
import { installBrowser } from './install-browser.mjs';
import { describeMachine, measureAndReport } from './measured-figures.ts';
import { chromiumVersion } from './perf/chromium.ts';
import { prepareDataFiles } from './perf/data-file-figures.ts';
import { prepareGrowth } from './perf/growth-figures.ts';
import { addToHistory } from './perf/history.ts';
import { prepareLivePicture } from './perf/live-picture.ts';
import { measureInPasses } from './perf/measure-in-passes.ts';
import type { PerfRun } from './perf/perf-run.ts';
import { readReport, repeatabilityLines } from './perf/repeatability.ts';
import { prepareSerial } from './perf/serial-figures.ts';
import { prepareStandings } from './perf/standings-figures.ts';
import { prepareStart } from './perf/start-time.ts';
import { prepareStoredTrial } from './perf/stored-trial.ts';
import { inProject } from './project-root.mjs';

/**
 * `npm run perf`: how quick the program is, beside a baseline of the same run. Names measure only those; `--short` takes fewer and
 * shorter rounds; `--note TEXT` adds a row to the history in docs/performance.md. A run of everything says how far it differs from
 * the one before in the same form on the same machine.
 */
const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};
const { values: flags, positionals: wanted } = parseArgs({
  allowPositionals: true,
  options: { short: { type: 'boolean', default: false }, note: { type: 'string' } },
});
const run: PerfRun = { say, form: flags.short ? 'short' : 'full' };
const { note } = flags;
// Not found missing after a quarter of an hour.
const browser = (await findTestBrowser()) ?? (await installBrowser());
if (browser === null) process.exit(1);
process.env['CHROME_PATH'] = browser;
const startedMs = performance.now();
const lastReport = readReport(inProject('perf', 'latest.json'));

await measureAndReport({
  folder: 'perf',
  wanted,
  machine: async () => describeMachine({ chromium: await chromiumVersion(), form: run.form }),
  say,
  measurements: {
    P1: prepareSerial,
    P2: prepareLivePicture,
    P3: prepareStoredTrial,
    P4: prepareStandings,
    P5: prepareDataFiles,
    P6: prepareStart,
    growth: prepareGrowth,
  },
  measure: (chosen) => measureInPasses(chosen, run),
  keep: async (report) => {
    for (const line of repeatabilityLines(lastReport, report)) say(line);
    if (note === undefined) return;
    await addToHistory(inProject('docs', 'performance.md'), report, { form: run.form, note });
    say('A row was added to docs/performance.md.');
  },
});
say(`It took ${Math.round((performance.now() - startedMs) / 1000)} s.`);
// Sockets and timers of the last measurement hold nothing that is needed.
process.exit();
