import type { ExchangeRate } from '../../shared-lib/catalogue/catalogue-model.ts';
import type { ComparedStep } from '../../shared-lib/comparison/trial-measure.ts';
import { measuresOfSchemes, parseTrialMeasureKey } from '../../shared-lib/standings/measure-keys.ts';
import type { SchemeVersion, ToolProperty } from '../../shared-lib/standings/scheme-model.ts';
import type { StandingsInput, StandingsTable } from '../../shared-lib/standings/standings-model.ts';
import { listExchangeRates } from '../catalogue/read-catalogue.ts';
import { createContenderLookup } from '../storage/contender-repository.ts';
import { type ReadableDatabase, reading } from '../storage/database.ts';
import { listScores } from '../storage/scored-trials.ts';
import { listTransducers } from '../storage/transducer-repository.ts';
import { gatherSubjects } from './gather-subjects.ts';
import { type AskedMeasure, gatherTrials, stepKey } from './gather-trials.ts';
import { scaleOfCalibration } from './scale-of-calibration.ts';

/**
 * Everything that the standings of a table are computed from, as it is stored at this moment, and nothing else: what no term
 * asks for is not in it.
 *
 * `schemes`: that of the table first, then those it refers to. `on`: the day whose prices and exchange rates are in force.
 */
export function gatherInput(
  database: ReadableDatabase,
  {
    table,
    schemes,
    on,
  }: { readonly table: StandingsTable; readonly schemes: SchemeVersion[]; readonly on: string },
): StandingsInput {
  // One view of the database: the writer thread may store a trial between two of these queries.
  return reading(() =>
    database
      .transaction((): StandingsInput => {
        const measures = measuresOfSchemes(schemes);
        const asked = measures.map(parseTrialMeasureKey);
        const properties = propertiesAskedFor(schemes);
        const rates = [...properties].some(isPrice)
          ? listExchangeRates(database).filter((rate) => isAbout(rate, table.currency))
          : [];
        const contenders = createContenderLookup(database);
        const scores = listScores(database, contenders, {
          steps: distinctSteps(asked),
          isSimulated: table.isSimulated,
          measures: asked.map(({ measure }) => measure),
        });
        const subjects = gatherSubjects(database, { table, contenders, scores, properties, rates, on });
        const keys = new Set(subjects.map(({ contender }) => contender.key));
        const gathered = gatherTrials(
          scores.filter(({ key }) => keys.has(key)),
          { asked, gate: table.gate, transducers: listTransducers(database) },
        );
        const calibrationIds = new Set(gathered.trials.map(({ calibrationId }) => calibrationId));
        return {
          table,
          schemes,
          measures,
          subjects,
          trials: gathered.trials,
          rates,
          calibrations: [...calibrationIds].sort().map((id) => scaleOfCalibration(database, id)),
          dayToDay: gathered.dayToDay,
          benches: gathered.benches,
        };
      })
      .deferred(),
  );
}

function distinctSteps(asked: readonly AskedMeasure[]): ComparedStep[] {
  return [...new Map(asked.map(({ step }) => [stepKey(step), step])).values()];
}

function propertiesAskedFor(schemes: readonly SchemeVersion[]): ReadonlySet<ToolProperty> {
  return new Set(
    schemes.flatMap(({ terms }) =>
      terms.flatMap(({ measure }) => {
        if (measure.of === 'tool') return [measure.property];
        return measure.of === 'ratio' ? [measure.per] : [];
      }),
    ),
  );
}

function isPrice(property: ToolProperty): boolean {
  return property === 'priceBare' || property === 'priceKit';
}

/** No rate is made from two others. */
function isAbout({ currency, inCurrency }: ExchangeRate, wanted: string): boolean {
  return currency === wanted || inCurrency === wanted;
}
