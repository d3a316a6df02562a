import { beforeAll, describe, it } from 'vitest';
import { publishedComparisonSchema } from '../../shared-lib/recompute/recompute-comparison.ts';
import { publishedStandingsSchema } from '../../shared-lib/recompute/recompute-standings.ts';
import { editionSchema } from '../../shared-lib/standings/standings-model.ts';
import { expectFoundIn } from './recompute-support/expect-found.ts';
import type { PackageInMemory } from './recompute-support/package-in-memory.ts';
import { makeSmallPackage } from './recompute-support/small-package.ts';

/** As recompute-tampered.test.ts, of what was decided, entered and published. */
let whole: PackageInMemory;
const expectFound = (
  tamper: (files: PackageInMemory) => void,
  found: { readonly file: string; readonly told: RegExp },
): Promise<void> => expectFoundIn(whole, tamper, found);

beforeAll(async () => {
  ({ files: whole } = await makeSmallPackage());
});

const comparison = 'published/comparison-1.json';
const standings = 'published/standings-1.json';
const edition = 'published/edition-1.json';
type Cells = Readonly<Record<string, string | null>>;

/** Of a trial that counts everything, wherever it stands. */
function removeTrial(files: PackageInMemory, id: string): void {
  files.changeRows(
    'data/trial.csv',
    (row) => row['id'] === id,
    () => null,
  );
  for (const table of ['trial_decision', 'trial_evaluation']) {
    files.changeRows(
      `data/${table}.csv`,
      (row) => row['trial_id'] === id,
      () => null,
    );
  }
  files.changeRows(
    'tables/trial-figures.csv',
    (row) => row['trial_id'] === id,
    () => null,
  );
  files.changeRows(
    'data/origin.csv',
    (row) => row['row_key'] === id,
    () => null,
  );
  files.remove(`data/counts/${id}.csv`);
  files.remove(`data/arrivals/${id}.csv`);
}

/** The line of a trial in every table once more, under another id. */
async function doubleTrial(files: PackageInMemory, id: string, twin: string): Promise<void> {
  for (const name of [
    'data/trial.csv',
    'data/trial_decision.csv',
    'data/trial_evaluation.csv',
    'data/origin.csv',
    'tables/trial-figures.csv',
  ]) {
    files.rewrite(name, (csv) =>
      csv
        .split('\r\n')
        .flatMap((line) => {
          if (!line.includes(`${id},`)) return [line];
          const copy = line.replace(`${id},`, `${twin},`);
          return [
            line,
            /^\d+,/.test(copy) ? copy.replace(/^\d+/, (number) => String(Number(number) + 900)) : copy,
          ];
        })
        .join('\r\n'),
    );
  }
  files.write(`data/counts/${twin}.csv`, await files.text(`data/counts/${id}.csv`));
  files.write(`data/arrivals/${twin}.csv`, await files.text(`data/arrivals/${id}.csv`));
}

describe('of what was decided, a package is caught with', () => {
  const isVoided = (row: Cells): boolean => row['is_voided'] === '1';

  it('a voided trial that was made to count, its row alone', () =>
    expectFound((files) => files.changeRows('data/trial.csv', isVoided, () => ({ is_voided: '0' })), {
      file: 'data/trial.csv',
      told: /is voided: the package says no; computed: yes/,
    }));

  it('a voided trial that was made to count, with the decision and the table', () =>
    expectFound(
      (files) => {
        files.changeRows('data/trial.csv', isVoided, () => ({ is_voided: '0' }));
        files.changeRows(
          'data/trial_decision.csv',
          ({ decision }) => decision === 'voided',
          () => null,
        );
        files.changeRows(
          'tables/trial-figures.csv',
          ({ is_voided }) => is_voided === 'true',
          () => ({
            is_voided: 'false',
          }),
        );
      },
      {
        file: 'data/trial_decision.csv',
        told: /left out because: the package says “voided”; computed: none/,
      },
    ));

  it('a trial voided that counted', () =>
    expectFound(
      (files) => {
        files.changeRows(
          'data/trial.csv',
          ({ id }) => id === 'small-trial-7',
          () => ({ is_voided: '1' }),
        );
        files.rewrite(
          'data/trial_decision.csv',
          (csv) => `${csv}99,small-trial-7,voided,Too low,1,Demo operator,2026-03-04T08:00:00.000Z,\r\n`,
        );
        files.changeRows(
          'tables/trial-figures.csv',
          ({ trial_id }) => trial_id === 'small-trial-7',
          () => ({
            is_voided: 'true',
          }),
        );
      },
      { file: 'data/trial_decision.csv', told: /standings-1\.json, trial small-trial-7, left out because/ },
    ));

  it('a trial removed, with everything that belongs to it', () =>
    expectFound((files) => removeTrial(files, 'small-trial-7'), {
      file: 'data/counts/small-trial-7.csv',
      told: /standings-1\.json, trial small-trial-7: The standings have it, and it is not in the package/,
    }));

  it('a trial that is there twice', async () => {
    const doubled = whole.copy();
    await doubleTrial(doubled, 'small-trial-7', 'small-trial-7b');
    await expectFoundIn(
      whole,
      (files) => {
        for (const name of doubled.names()) files.take(doubled, name);
      },
      {
        file: 'data/counts/small-trial-7b.csv',
        told: /trial small-trial-7b: It belongs there by the package, and the standings do not have it/,
      },
    );
  });

  it('a round exchanged', () =>
    expectFound(
      (files) =>
        files.changeRows(
          'data/trial.csv',
          ({ id }) => id === 'small-trial-7',
          ({ place_json }) => ({
            place_json: place_json?.replace(/"round":\d/, '"round":9') ?? '',
          }),
        ),
      {
        file: 'data/trial.csv',
        told: /small-trial-7, place in sheet, round: the package says 9; computed: /,
      },
    ));

  it('a time stamp moved into another order', () =>
    expectFound(
      (files) =>
        files.changeRows(
          'data/trial.csv',
          ({ id }) => id === 'small-trial-7',
          () => ({
            started_at: '2026-03-03T10:30:00.000Z',
          }),
        ),
      {
        file: 'data/trial.csv',
        told: /small-trial-7: It began at 2026-03-03T10:30.*, and an evaluation of it is dated/,
      },
    ));

  it('a trial counted to another tool', () =>
    expectFound(
      (files) =>
        files.changeRows(
          'data/trial.csv',
          ({ id }) => id === 'small-trial-7',
          ({ setup_json }) => ({
            setup_json:
              setup_json
                ?.replaceAll(/setup-demo-[a-z]+-[a-z]\d/g, 'setup-demo-hollin-h5')
                .replaceAll(/"demo-[a-z]+-[a-z]\d"/g, '"demo-hollin-h5"') ?? '',
          }),
        ),
      { file: 'data/trial.csv', told: /standings-1\.json, trial small-trial-7, key/ },
    ));
});

describe('of what was entered, a package is caught with', () => {
  const ofTarnwick = (row: Cells): boolean => row['tool_id'] === 'demo-tarnwick-t6';

  it('a price changed', () =>
    expectFound(
      (files) =>
        files.changeRows('data/tool_details.csv', ofTarnwick, ({ details_json }) => ({
          details_json: details_json?.replace('"amount":249', '"amount":199') ?? '',
        })),
      {
        file: 'data/tool_details.csv',
        told: /Tarnwick T6.*, properties, priceBare, value: the package says 249; computed: 199/,
      },
    ));

  it('a claim changed', () =>
    expectFound(
      (files) =>
        files.changeRows('data/tool_details.csv', ofTarnwick, ({ details_json }) => ({
          details_json: details_json?.replace('"torqueNm":900', '"torqueNm":700') ?? '',
        })),
      {
        file: 'data/tool_details.csv',
        told: /Tarnwick T6.*, fasteningClaim, value: the package says 900; computed: 700/,
      },
    ));

  it('a rating changed', () =>
    expectFound(
      (files) =>
        files.changeRows(
          'data/handling_rating.csv',
          (row) => ofTarnwick(row) && row['rater'] === 'Imke (demo)',
          () => ({ score: '10' }),
        ),
      {
        file: 'data/handling_rating.csv',
        told: /Tarnwick T6.*, handling, value: the package says 6\.25; computed: 8/,
      },
    ));

  it('a price changed in the standings too, with points and totals as they were', () =>
    expectFound(
      (files) => {
        files.changeRows('data/tool_details.csv', ofTarnwick, ({ details_json }) => ({
          details_json: details_json?.replace('"amount":249', '"amount":199') ?? '',
        }));
        for (const name of [standings, edition]) {
          files.rewrite(name, (json) =>
            json.replaceAll('"value": 249', '"value": 199').replaceAll('249\u202fEUR', '199\u202fEUR'),
          );
        }
      },
      { file: standings, told: /standings-1\.json, setup:setup-demo-tarnwick-t6, cells, worth, points/ },
    ));
});

describe('of what was published, a package is caught with', () => {
  it('a sentence of a verdict reworded', () =>
    expectFound(
      (files) =>
        files.changeJson(comparison, publishedComparisonSchema, ({ comparison: said }) => {
          said.sentence = said.sentence.replace('Tarnwick', 'Tarnwick, the best there is,');
        }),
      { file: comparison, told: /comparison-1\.json, sentence: the package says “/ },
    ));

  it('an interval made narrower', () =>
    expectFound(
      (files) =>
        files.changeJson(comparison, publishedComparisonSchema, ({ comparison: said }) => {
          said.ratio!.low = (said.ratio!.low + said.ratio!.ratio) / 2;
        }),
      { file: comparison, told: /comparison-1\.json, ratio, low: the package says/ },
    ));

  it('a value of a trial in a comparison changed', () =>
    expectFound(
      (files) =>
        files.changeJson(comparison, publishedComparisonSchema, ({ comparison: said }) => {
          said.trials.at(-1)!.value = 20 + (said.trials.at(-1)!.value ?? 0);
        }),
      { file: comparison, told: /comparison-1\.json, trials, small-trial-\d+, value/ },
    ));

  it('a value at levels that were measured anew changed', () =>
    expectFound(
      (files) =>
        files.changeJson('published/comparison-2.json', publishedComparisonSchema, ({ comparison: said }) => {
          said.trials.at(-1)!.value = 0.9 * (said.trials.at(-1)!.value ?? 0);
        }),
      { file: 'published/comparison-2.json', told: /comparison-2\.json, trials, small-trial-\d+, value/ },
    ));

  it('a trial left out of a comparison', () =>
    expectFound(
      (files) =>
        files.changeJson(comparison, publishedComparisonSchema, ({ comparison: said }) => {
          said.trials.pop();
        }),
      { file: comparison, told: /comparison-1\.json, trials: the package has \d+ of them; computed: \d+/ },
    ));

  it('a factor of a scheme changed', () =>
    expectFound(
      (files) =>
        files.changeJson(standings, publishedStandingsSchema, ({ input }) => {
          input.schemes[0]!.terms[3]!.factor = 5;
        }),
      { file: standings, told: /standings-1\.json, .*handling, points: the package says/ },
    ));

  it('a total changed', () =>
    expectFound(
      (files) =>
        files.changeJson(standings, publishedStandingsSchema, (said) => {
          said.standings.rows[1]!.total += 3;
        }),
      { file: standings, told: /standings-1\.json, setup:.*, total: the package says/ },
    ));

  it('two places exchanged', () =>
    expectFound(
      (files) =>
        files.changeJson(standings, publishedStandingsSchema, (said) => {
          const [first, second] = said.standings.rows;
          [first!.place, second!.place] = [second!.place, first!.place];
          said.standings.rows.splice(0, 2, second!, first!);
        }),
      {
        file: standings,
        told: /standings-1\.json, setup:setup-demo-[a-z0-9-]+, place: the package says 2; computed: 1/,
      },
    ));

  it('a range of places made narrower', () =>
    expectFound(
      (files) =>
        files.changeJson(standings, publishedStandingsSchema, (said) => {
          said.placeRanges.ranges[0]!.worstPlace += 1;
        }),
      { file: standings, told: /standings-1\.json, setup:.*, worst place: the package says/ },
    ));

  it('another seed of the draws', () =>
    expectFound(
      (files) =>
        files.changeJson(standings, publishedStandingsSchema, (said) => {
          said.placeRanges.seed = 2;
        }),
      { file: standings, told: /standings-1\.json, seed: the package says 2; computed: 1/ },
    ));

  it('a calibration said to be better than it is', () =>
    expectFound(
      (files) =>
        files.changeJson(standings, publishedStandingsSchema, ({ input }) => {
          input.calibrations[0]!.uncertainty = 0.0001;
        }),
      { file: standings, told: /standings-1\.json, calibrations, .*uncertainty: the package says 0\.0001/ },
    ));

  it('the note of an edition kept and its standings changed, with its own fingerprint as it was', () =>
    expectFound(
      (files) =>
        files.changeJson(edition, editionSchema, (said) => {
          said.standings.cautions.pop();
        }),
      {
        file: edition,
        told: /edition-1\.json, fingerprint: the package says “[0-9a-f]{64}”; computed: “[0-9a-f]{64}”/,
      },
    ));
});
