import type { PlaceRanges, Standings, StandingsInput } from '../standings/standings-model.ts';
import type { PlacesChart } from './chart-model.ts';
import { shortLabels, withCommon } from './short-labels.ts';
import { SIMULATED_NOTE, uncertaintyWords } from './chart-notes.ts';

const MOST_NAMED = 3;
/** Half of a 95 % interval of a normal distribution, as certificates state it. */
const COVERAGE_FACTOR = 2;

export interface StandingsAsDrawn {
  readonly standings: Standings;
  readonly input: StandingsInput;
  readonly placeRanges: PlaceRanges;
  /** "Edition March, frozen on 2026-03-12"; "As it was on 2026-03-12". */
  readonly when: string;
  readonly dayOf: (instant: string) => string;
}

/** Places with their points by terms and the ranges that the scatter of the trials leaves open. */
export function chartOfStandings({
  standings,
  input,
  placeRanges,
  when,
  dayOf,
}: StandingsAsDrawn): PlacesChart {
  const { table, scheme, rows, notRanked, cautions } = standings;
  const labels = new Map(scheme.terms.map(({ id, label }) => [id, label]));
  const short = shortLabels(rows.map(({ contender }) => contender.label));
  const ranges = new Map(placeRanges.ranges.map((range) => [range.key, range]));
  return {
    kind: 'places',
    title: table.name,
    subtitle: `${when}; scheme “${scheme.name}”, version ${scheme.version}`,
    notes: [
      withCommon(
        `${nWords(input, dayOf)}${notRanked.length === 0 ? '' : ` ${notRanked.length} not ranked.`}`,
        short,
      ),
      calibrationWords(input),
      ...(table.isSimulated ? [SIMULATED_NOTE] : []),
      ...(placeRanges.ranges.length === 0
        ? placeRanges.sentences
        : [
            'Lines: the places that each could have as well, since runs scatter and calibrations are uncertain (95 % for all together).',
          ]),
      ...cautions,
    ].filter((note) => note !== ''),
    rows: rows.slice(0, 200).map(({ contender, place, total, cells }) => {
      const range = ranges.get(contender.key);
      return {
        label: short.of(contender.label),
        place,
        bestPlace: range?.bestPlace ?? null,
        worstPlace: range?.worstPlace ?? null,
        total,
        terms: cells.map(({ termId, points }) => ({ label: labels.get(termId) ?? termId, points })),
      };
    }),
  };
}

function nWords({ trials }: StandingsInput, dayOf: (instant: string) => string): string {
  const counting = trials.filter(({ leftOutBecause }) => leftOutBecause === null);
  const days = counting.map(({ startedAt }) => dayOf(startedAt)).toSorted();
  const [first, last] = [days[0], days.at(-1)];
  const when =
    first === undefined || last === undefined
      ? ''
      : first === last
        ? ` of ${first}`
        : ` of ${first} to ${last}`;
  const leftOut = trials.length - counting.length;
  return `n: ${counting.length} trials${when}${leftOut === 0 ? '' : `; ${leftOut} left out`}.`;
}

/** Of the trials that count. */
function calibrationWords({ trials, calibrations }: StandingsInput): string {
  const used = new Set(
    trials.filter(({ leftOutBecause }) => leftOutBecause === null).map(({ calibrationId }) => calibrationId),
  );
  const known = calibrations.filter(({ calibrationId }) => used.has(calibrationId));
  if (known.length === 0) return '';
  const named = known
    .slice(0, MOST_NAMED)
    .map(
      ({ label, uncertainty }) =>
        `“${label}” ${uncertaintyWords(uncertainty === null ? null : 100 * COVERAGE_FACTOR * uncertainty)}`,
    );
  const more = known.length - named.length;
  return `${known.length === 1 ? 'Calibration' : 'Calibrations'}: ${named.join(', ')}${more === 0 ? '' : ` and ${more} more`}.`;
}
