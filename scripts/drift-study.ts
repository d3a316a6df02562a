import './require-node.mjs';
import { distributionFunctions as distributions } from '../shared-lib/calibration/distribution-functions.ts';
import { flagsOf, leastFlagged, referenceTimes } from './drift/study-drift.ts';
import { describeMachine, type Figure, measureAndReport, measureOneByOne } from './measured-figures.ts';

/** `npm run drift-study`: which drifts of a day its reference tool shows, and how often it shows one that is not there. */
const DAYS = 10_000;
const SCATTER_PERCENT = 1.5;
const DRIFT_PERCENT_PER_HOUR = 1;
const LEAST_FLAGGED = 0.9;
const MOST_FALSE = 0.05;

const percent = (share: number): number => Math.round(share * 1000) / 10;

function figuresOf(
  name: string,
  {
    hours,
    rounds,
    isHeldTo,
  }: { readonly hours: number; readonly rounds: number; readonly isHeldTo: boolean },
): Record<string, Figure> {
  const day = { hours, rounds, scatterPercent: SCATTER_PERCENT };
  const drifting = flagsOf({ ...day, driftPercentPerHour: DRIFT_PERCENT_PER_HOUR }, DAYS, distributions);
  const steady = flagsOf({ ...day, driftPercentPerHour: 0 }, DAYS, distributions);
  const least = leastFlagged(day, DAYS, distributions);
  const scene = `${DAYS} seeded days of ${hours} h with ${rounds} rounds, ${referenceTimes(day).length} reference pulls that scatter by ${SCATTER_PERCENT} %.`;
  const leastShare = isHeldTo ? LEAST_FLAGGED : 0;
  return {
    [`${name}.flagged`]: {
      value: percent(drifting.flagged),
      unit: `% of days with a drift of ${DRIFT_PERCENT_PER_HOUR} %/h flagged`,
      baseline: percent(drifting.zeroOutside),
      limit: percent(leastShare),
      met: drifting.flagged >= leastShare,
      note: `${scene} From ${least} %/h up at least nine of ten days are flagged. The 95 % interval held the true drift on ${percent(drifting.covered)} %. Baseline: by the 95 % interval instead of the one of 98 %.`,
    },
    [`${name}.false`]: {
      value: percent(steady.flagged),
      unit: '% of days without drift flagged',
      baseline: percent(steady.zeroOutside),
      limit: percent(MOST_FALSE),
      met: steady.flagged <= MOST_FALSE,
      note: `${scene} Baseline: by the 95 % interval.`,
    },
    [`${name}.least`]: {
      value: least,
      unit: '%/h is the least drift flagged on nine of ten days',
      baseline: DRIFT_PERCENT_PER_HOUR,
      limit: isHeldTo ? DRIFT_PERCENT_PER_HOUR : 100,
      met: least <= (isHeldTo ? DRIFT_PERCENT_PER_HOUR : 100),
      note: scene,
    },
  };
}

const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};
await measureAndReport({
  folder: 'drift',
  wanted: process.argv.slice(2),
  machine: () => Promise.resolve(describeMachine()),
  say,
  measure: (chosen) => measureOneByOne(chosen, say),
  measurements: {
    day: {
      measure: () =>
        Promise.resolve({
          ...figuresOf('day.3rounds', { hours: 8, rounds: 3, isHeldTo: true }),
          ...figuresOf('day.5rounds', { hours: 8, rounds: 5, isHeldTo: true }),
          ...figuresOf('day.20rounds', { hours: 8, rounds: 20, isHeldTo: true }),
        }),
    },
    // Nothing is promised of these: they say what a short sitting cannot show.
    short: {
      measure: () =>
        Promise.resolve({
          ...figuresOf('short.4hours', { hours: 4, rounds: 5, isHeldTo: false }),
          ...figuresOf('short.2hours', { hours: 2, rounds: 5, isHeldTo: false }),
        }),
    },
  },
});
