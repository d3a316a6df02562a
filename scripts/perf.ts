import './require-node.mjs';
import { describeMachine, measureAndReport } from './measured-figures.ts';
import { chromiumVersion } from './perf/chromium.ts';
import { measureDataFiles } from './perf/data-file-figures.ts';
import { measureLivePicture } from './perf/live-picture.ts';
import { measureSerial } from './perf/serial-figures.ts';
import { measureStandings } from './perf/standings-figures.ts';
import { measureStart } from './perf/start-time.ts';

/** `npm run perf`: how quick the program is, beside a baseline of the same run. About seven minutes; names measure only those. */
const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

await measureAndReport({
  folder: 'perf',
  wanted: process.argv.slice(2),
  machine: async () => describeMachine({ chromium: await chromiumVersion() }),
  say,
  measurements: {
    P1: { measure: () => measureSerial(say) },
    P2: { measure: () => measureLivePicture(say) },
    P4: { measure: () => measureStandings(say) },
    P5: { measure: () => measureDataFiles(say) },
    P6: { measure: () => measureStart(say) },
  },
});
// Sockets and timers of the last measurement hold nothing that is needed.
process.exit();
