import { describe, expect, it } from 'vitest';
import type { StandingsTable } from '../../shared-lib/standings/standings-model.ts';
import { insertCalibration } from '../../main/storage/calibration-repository.ts';
import { addTransducer } from '../../main/storage/transducer-repository.ts';
import { calibration, conditions } from './storage-support/bench-fixture.ts';
import {
  openWorkshop,
  type Pull,
  scheme,
  whyNotRanked,
  type Workshop,
} from './standings-support/ranked-workshop.ts';

const shares = [0.999, 1, 1.001];

/**
 * Hollin H5 at 300 and Tarnwick T6 at 306 N·m on one bench, whose calibration states 0.5 %; Brindlow B4 at 306 N·m on another. All in
 * one session, so that days tell nothing apart.
 */
async function twoBenches(
  others: {
    readonly otherPercent?: number | null;
    readonly mainPercent?: number | null;
    /** By which the trials on the other bench were measured. */
    readonly otherDefinition?: number;
  } = {},
  changes: Partial<StandingsTable> = {},
): Promise<Workshop> {
  const { otherPercent = 4, mainPercent = 0.5, otherDefinition = 2 } = others;
  const workshop = openWorkshop();
  const { database, transducer } = workshop;
  insertCalibration(
    database,
    calibration({ id: 'calibration-main', enteredUncertaintyPercent: mainPercent }),
    { reason: 'Stated anew in a test' },
  );
  const onMain: Pull['conditions'] = { ...conditions(transducer), calibrationId: 'calibration-main' };
  const other = addTransducer(database, 'Transducer of Bench B (demo)');
  insertCalibration(
    database,
    calibration({
      id: 'calibration-b',
      transducerId: other.id,
      label: 'Bench B (demo)',
      enteredUncertaintyPercent: otherPercent,
    }),
    null,
  );
  const onOther: Pull['conditions'] = {
    ...conditions(transducer),
    transducer: { ...other, activeCalibrationId: 'calibration-b' },
    calibrationId: 'calibration-b',
  };
  const tools = [
    { name: 'Hollin H5', sustainedNm: 300, made: { conditions: onMain, figures: { definitionVersion: 2 } } },
    {
      name: 'Tarnwick T6',
      sustainedNm: 306,
      made: { conditions: onMain, figures: { definitionVersion: 2 } },
    },
    {
      name: 'Brindlow B4',
      sustainedNm: 306.5,
      made: { conditions: onOther, figures: { definitionVersion: otherDefinition } },
    },
  ];
  for (const { name, sustainedNm, made } of tools) {
    const setup = workshop.addTool(name);
    for (const share of shares) workshop.pull(setup, { ...made, sustainedNm: sustainedNm * share });
  }
  await workshop.saveTable({ schemeId: await workshop.saveScheme(scheme()), ...changes });
  return workshop;
}

/** From whom a tool is not separated. */
async function notSeparatedFrom(workshop: Workshop, name: string): Promise<string[]> {
  const { rows } = await workshop.standings();
  const { ranges } = await workshop.handlers.getPlaceRanges({ tableId: 'table-1' });
  const nameOf = new Map(rows.map(({ contender }) => [contender.key, contender.toolName]));
  const key = rows.find(({ contender }) => contender.toolName === name)?.contender.key;
  const range = ranges.find((one) => one.key === key);
  return (range?.notSeparatedFrom ?? []).map((one) => nameOf.get(one) ?? '').toSorted();
}

describe('a table that takes one bench, as all do where nothing else was chosen', () => {
  it('leaves the trials of another one out, with the reason', async () => {
    const workshop = await twoBenches();
    const standings = await workshop.standings();
    expect(whyNotRanked(standings, 'Brindlow B4')?.join(' ')).toMatch(
      /not like for like: Transducer of Bench B/,
    );
    expect(standings.cautions.join(' ')).toMatch(
      /it holds for Demo transducer.*3 trials of other benches are left out/,
    );
    expect(standings.table).not.toHaveProperty('benches');
  });
});

describe('a table that takes several benches', () => {
  it('ranks them side by side, names them, and says what their calibrations do not know', async () => {
    const workshop = await twoBenches({}, { benches: 'several' });
    const { rows, cautions } = await workshop.standings();
    expect(rows.map(({ contender }) => contender.toolName)).toEqual([
      'Brindlow B4',
      'Tarnwick T6',
      'Hollin H5',
    ]);
    expect(cautions[0]).toMatch(
      /2 benches stand side by side: Demo transducer.*; Transducer of Bench B \(demo\).*how the rigs differ under blows is in none of them/,
    );
  });

  it('takes a bench whose trials another definition measured where that has the same measures, and no other', async () => {
    const alike = await (await twoBenches({ otherDefinition: 3 }, { benches: 'several' })).standings();
    expect(whyNotRanked(alike, 'Brindlow B4')).toBeNull();
    const other = await (await twoBenches({ otherDefinition: 1 }, { benches: 'several' })).standings();
    expect(whyNotRanked(other, 'Brindlow B4')?.join(' ')).toContain(
      'measures of definition 1 against measures of definition 2',
    );
  });

  it('tells tools of one bench apart, and those of two only beyond what both calibrations state', async () => {
    // 2 % lie between the tools: far more than they scatter, and as much as 4 % (k = 2) of the other bench may hide.
    const loose = await twoBenches({}, { benches: 'several' });
    expect(await notSeparatedFrom(loose, 'Hollin H5')).toEqual(['Brindlow B4']);
    expect(await notSeparatedFrom(loose, 'Brindlow B4')).toEqual(['Hollin H5', 'Tarnwick T6']);
    const tight = await twoBenches({ otherPercent: 0.2, mainPercent: 0.2 }, { benches: 'several' });
    expect(await notSeparatedFrom(tight, 'Hollin H5')).toEqual([]);
  });

  it('does not rank what a calibration without a stated uncertainty reads, and says so', async () => {
    const workshop = await twoBenches({ otherPercent: null }, { benches: 'several' });
    const standings = await workshop.standings();
    expect(whyNotRanked(standings, 'Brindlow B4')?.join(' ')).toMatch(
      /its calibration states no uncertainty/,
    );
    expect(standings.rows).toHaveLength(2);
  });

  it('stays with its own bench where that one states no uncertainty', async () => {
    const workshop = await twoBenches({ mainPercent: null }, { benches: 'several' });
    const standings = await workshop.standings();
    expect(standings.rows.map(({ contender }) => contender.toolName)).toEqual(['Tarnwick T6', 'Hollin H5']);
    expect(whyNotRanked(standings, 'Brindlow B4')?.join(' ')).toMatch(
      /the calibrations of the one that most tools were pulled on state no uncertainty/,
    );
  });

  it('still refuses records of another form, such as another rate', async () => {
    const workshop = await twoBenches({}, { benches: 'several' });
    const { transducer } = workshop;
    const made = conditions(transducer);
    const setup = workshop.addTool('Corvane C8');
    workshop.pull(setup, {
      sustainedNm: 900,
      conditions: { ...made, profile: { ...made.profile, nominalRateHz: 320 } },
    });
    expect(whyNotRanked(await workshop.standings(), 'Corvane C8')?.join(' ')).toMatch(
      /not like for like: 320\sSa\/s/,
    );
  });

  it('is told as a change of the table', async () => {
    const workshop = await twoBenches();
    const { id } = await workshop.handlers.makeEdition({
      tableId: 'table-1',
      name: 'Before (demo)',
      note: '',
    });
    const { table } = await workshop.standings();
    await workshop.handlers.saveStandingsTable({ table: { ...table, benches: 'several' } });
    const since = await workshop.handlers.compareEditions({ fromEditionId: id, toEditionId: null });
    expect(JSON.stringify(since)).toContain('The table takes several benches side by side now.');
  });
});
