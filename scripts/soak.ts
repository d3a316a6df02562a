import './require-node.mjs';
import { mkdirSync, writeFileSync } from 'node:fs';
import { setTimeout as wait } from 'node:timers/promises';
import { parseArgs } from 'node:util';
import { makeDataFolder } from '../tests/helpers/running-services.ts';
import { buildStaleParts } from './build-parts.mjs';
import { describeCommit, describeMachine, type Figure, tableOf } from './measured-figures.ts';
import { chromiumVersion } from './perf/chromium.ts';
import { startWriter } from './perf/serial-turns.ts';
import { roundTo, sumOf } from './perf/statistics.ts';
import { inProject } from './project-root.mjs';
import { afterWarmUp, slopePerHour } from './soak/growth.ts';
import { startInspectedProgram } from './soak/inspected-program.ts';
import { type Look, type Looking, startLooking } from './soak/looks.ts';
import { openPageWindow, type PageWindow } from './soak/page-window.ts';
import { type BenchOfSoak, type Pull, pullOnce, setUpBench } from './soak/pulls.ts';
import { openSecondWindow } from './soak/second-window.ts';

/**
 * `npm run soak`, `npm run soak -- --minutes 10`: the built program reads an amplifier over a pseudo-terminal for an hour, with
 * its page open in a browser, a second window connected, and a trial of 15 s every minute. Writes soak/latest.json.
 */
const RATE_HZ = 10_000;
const BETWEEN_PULLS_MS = 60_000;
const MOST_GROWTH_MB = 20;

const { values } = parseArgs({ options: { minutes: { type: 'string', default: '60' } } });
const minutes = Number(values.minutes);
if (!(minutes >= 1)) throw new Error('--minutes takes a number of at least 1');

const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

interface Run {
  readonly looks: readonly Look[];
  readonly pulls: readonly Pull[];
  readonly samples: number;
  readonly lostSamples: number;
  /** Lines that found the buffer of the port full: nobody could have read them. */
  readonly dropped: number;
  readonly movedOn: number;
}

async function run(): Promise<Run> {
  // Here, so that the memory of the building is not the program's.
  await buildStaleParts(say);
  const folder = makeDataFolder();
  const program = await startInspectedProgram(folder.path);
  // The reader is there before the pseudo-terminal, which it would otherwise hold open.
  const { writer, path } = await startWriter(RATE_HZ);
  const profile = makeDataFolder();
  const window = openSecondWindow(program.url);
  let page: PageWindow | null = null;
  try {
    const bench = { window, writer, path, rateHz: RATE_HZ };
    await setUpBench(bench);
    page = await openPageWindow(program.url, profile.path);
    const looking = startLooking(program, page, folder.path, writer.pid);
    return await Promise.race([pullAndLook(bench, looking), endedEarly()]);
  } finally {
    window.close();
    await page?.end();
    await program.end();
    await writer.end();
    folder.remove();
    profile.remove();
  }
}

/** Fails on Ctrl+C and when it is asked to end, so that nothing it started is left behind. */
function endedEarly(): Promise<never> {
  return new Promise((_, reject) => {
    for (const signal of ['SIGINT', 'SIGTERM'] as const) {
      process.once(signal, () => {
        reject(new Error(`Ended by ${signal} before its ${minutes} minutes were over; nothing is written.`));
      });
    }
  });
}

async function pullAndLook(bench: BenchOfSoak, looking: Looking): Promise<Run> {
  const { window, writer } = bench;
  const endMs = performance.now() + minutes * 60_000;
  const looks: Look[] = [await looking.look()];
  const pulls: Pull[] = [];
  while (performance.now() < endMs) {
    const nextMs = Math.min(performance.now() + BETWEEN_PULLS_MS, endMs);
    const untilNextMs = (): number => Math.max(0, nextMs - performance.now());
    const pull = await pullOnce(bench);
    pulls.push(pull);
    // Between trials: no bench has the garbage of its page and main collected at one instant.
    looks.push(await looking.look());
    const { lostSamples } = (await window.request('getStatus', {})).amplifier.counters;
    say(
      `soak: trial ${pulls.length} ${pull.state}, ${pull.lostSlots} of ${pull.slots} samples lost (${lostSamples} since the start); ` +
        `main ${roundTo(looks.at(-1)?.megabytes['main resident'] ?? 0, 1)} MB`,
    );
    await wait(untilNextMs() / 2);
    looks.push(await looking.look());
    await wait(untilNextMs());
  }
  looks.push(await looking.look());
  const { counters } = (await window.request('getStatus', {})).amplifier;
  writer.send({ type: 'count' });
  const { dropped, movedOn } = await writer.next('written');
  return { looks, pulls, samples: counters.samples, lostSamples: counters.lostSamples, dropped, movedOn };
}

interface Series {
  readonly first: number;
  readonly last: number;
  readonly perHour: number;
}

function seriesOf(looks: readonly Look[], of: 'megabytes' | 'cpuS'): Record<string, Series> {
  const names = [...new Set(looks.flatMap((look) => Object.keys(look[of])))];
  return Object.fromEntries(
    names.map((name) => {
      const points = looks.flatMap((look) => {
        const value = look[of][name];
        return value === undefined ? [] : [{ atS: look.atS, value }];
      });
      return [
        name,
        {
          first: roundTo(points[0]?.value ?? Number.NaN, 2),
          last: roundTo(points.at(-1)?.value ?? Number.NaN, 2),
          perHour: roundTo(slopePerHour(afterWarmUp(points)), 2),
        },
      ];
    }),
  );
}

const found = await run();
const memory = seriesOf(found.looks, 'megabytes');
const cpu = seriesOf(found.looks, 'cpuS');
const growthOf = (name: string): number => memory[`${name} resident`]?.perHour ?? Number.NaN;
const growthMb = sumOf(['main', 'reader', 'page'].map(growthOf));
const lostInTrials = sumOf(found.pulls.map(({ lostSlots }) => lostSlots));
const trialsCut = found.pulls.filter(({ state }) => state === 'interrupted').length;
const F5: Figure = {
  value: roundTo(growthMb, 1),
  unit: 'MB an hour, resident memory of main, reader and page',
  baseline: roundTo(growthOf('amplifier'), 1),
  limit: MOST_GROWTH_MB,
  met: growthMb < MOST_GROWTH_MB,
  note:
    `${minutes} minutes at ${RATE_HZ} Sa/s over a pseudo-terminal, a page open and a second window connected, ${found.pulls.length} trials of 15 s; slope by the median of all pairs of looks, after the first quarter or five minutes, each look between two trials and after a collection of the garbage of main and the page. ` +
    `Heaps: main ${memory['main heap']?.perHour ?? Number.NaN}, reader (with its garbage) ${memory['reader heap']?.perHour ?? Number.NaN}, page ${memory['page heap']?.perHour ?? Number.NaN} MB an hour. Baseline: the amplifier's own process, which is none of the program's.`,
};
const loss: Figure = {
  value: found.lostSamples,
  unit: `of ${found.samples} samples lost`,
  baseline: found.movedOn,
  limit: 0,
  met: found.lostSamples === 0 && trialsCut === 0,
  note:
    `${lostInTrials} of them in ${found.pulls.length} trials, ${trialsCut} trials cut off; ${found.dropped} lines found the buffer of the port full. ` +
    `Baseline: lines that the amplifier itself, which has the highest priority, woke too late for.`,
};
const figures = { F5, 'soak.loss': loss };
for (const [name, { first, last, perHour }] of Object.entries(memory)) {
  say(`${name.padEnd(28)} ${first} MB to ${last} MB, ${perHour} MB an hour`);
}
for (const [name, { perHour }] of Object.entries(cpu)) {
  say(`${name.padEnd(28)} ${roundTo(perHour / 36, 1)} % of a processor`);
}
for (const line of tableOf(figures)) say(line);
for (const { met, note } of Object.values(figures)) if (!met) say(note);
mkdirSync(inProject('soak'), { recursive: true });
writeFileSync(
  inProject('soak', 'latest.json'),
  `${JSON.stringify(
    {
      machine: describeMachine({ browser: await chromiumVersion() }),
      date: new Date().toISOString(),
      ...describeCommit(),
      minutes,
      figures,
      memory,
      cpu,
      pulls: found.pulls,
      looks: found.looks,
    },
    null,
    2,
  )}\n`,
);
say('Written to soak/latest.json.');
// A browser's pipe must not keep it.
process.exit();
