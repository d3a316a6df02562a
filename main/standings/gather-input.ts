import type { ContenderLookup } from '../../shared-lib/comparison/contender-lookup.ts';
import { withCurrentReferences } from '../../shared-lib/standings/current-references.ts';
import { gatherScoredTrials } from '../../shared-lib/standings/gather-scored-trials.ts';
import { gatherSubjects } from '../../shared-lib/standings/gather-subjects.ts';
import { measuresOfSchemes, parseTrialMeasureKey } from '../../shared-lib/standings/measure-keys.ts';
import type { SchemeVersion } from '../../shared-lib/standings/scheme-model.ts';
import { scaleOfCalibration } from '../../shared-lib/standings/scale-of-calibration.ts';
import {
  GATHERING,
  type StandingsInput,
  type StandingsTable,
} from '../../shared-lib/standings/standings-model.ts';
import {
  distinctSteps,
  isAbout,
  isPrice,
  propertiesAskedFor,
} from '../../shared-lib/standings/what-schemes-ask.ts';
import { listCatalogue, listExchangeRates } from '../catalogue/read-catalogue.ts';
import { getCalibration, getCalibrationResult } from '../storage/calibration-repository.ts';
import { createContenderLookup } from '../storage/contender-repository.ts';
import { type ReadableDatabase, reading } from '../storage/database.ts';
import {
  hasLevel,
  listScores,
  scoreOf,
  type StoredScore,
  toolNameAsWritten,
} from '../storage/scored-trials.ts';
import { listTransducers } from '../storage/transducer-repository.ts';

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
        const subjects = gatherSubjects({
          table,
          catalogue: listCatalogue(database),
          contenders,
          scores,
          toolNameOf: (trialId) => toolNameAsWritten(database, trialId),
          testedToolIds: () => testedTools(database, contenders, table.isSimulated),
          properties,
          rates,
          on,
        });
        const scaleOf = (id: string): StandingsInput['calibrations'][number] =>
          scaleOfCalibration(getCalibration(database, id), getCalibrationResult(database, id));
        const keys = new Set(subjects.map(({ contender }) => contender.key));
        const gathered = gatherScoredTrials(
          scores.filter(({ key }) => keys.has(key)),
          { valueOf: scoreOf, hasLevel, evaluationIdOf: ({ evaluationId }: StoredScore) => evaluationId },
          {
            asked,
            gate: table.gate,
            transducers: listTransducers(database),
            benches: table.benches,
            gathering: GATHERING,
            uncertaintyOf: (id) => scaleOf(id).uncertainty,
          },
        );
        const calibrationIds = new Set(gathered.trials.map(({ calibrationId }) => calibrationId));
        return {
          table,
          schemes: withCurrentReferences(schemes, contenders),
          measures,
          subjects,
          trials: gathered.trials,
          rates,
          calibrations: [...calibrationIds].sort().map(scaleOf),
          dayToDay: gathered.dayToDay,
          benches: gathered.benches,
          gathering: GATHERING,
        };
      })
      .deferred(),
  );
}

/** Tools with measured trials of any step. */
function testedTools(
  database: ReadableDatabase,
  contenders: ContenderLookup,
  isSimulated: boolean,
): ReadonlySet<string> {
  return new Set(
    database
      .prepare<[number], { shown_setup_id: string | null; shown_tool_name_folded: string }>(
        `SELECT DISTINCT shown_setup_id, shown_tool_name_folded
         FROM (SELECT id, shown_setup_id, shown_tool_name_folded FROM trial INDEXED BY trial_by_start) AS listed
           JOIN trial_score ON trial_id = listed.id
         WHERE group_id IN (SELECT id FROM score_group WHERE is_simulated = ?)`,
      )
      .all(Number(isSimulated))
      .map(({ shown_setup_id, shown_tool_name_folded }) =>
        contenders.contenderOf(
          contenders.keyOf(shown_setup_id, shown_tool_name_folded),
          shown_tool_name_folded,
          isSimulated,
        ),
      )
      .flatMap(({ toolId }) => toolId ?? []),
  );
}
