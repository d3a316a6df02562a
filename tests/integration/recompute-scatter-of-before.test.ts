import { describe, expect, it } from 'vitest';
import { listBenchItems } from '../../main/storage/bench-item-repository.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { performRecordingCommand } from '../../main/storage/recording-commands.ts';
import { createSession } from '../../main/storage/session-repository.ts';
import { getTransducer } from '../../main/storage/transducer-repository.ts';
import { fillCatalogue } from '../../scripts/demo/fill-catalogue.ts';
import { fillTrials } from '../../scripts/demo/fill-workshop.ts';
import { recordDemoPull } from '../../scripts/demo/record-pull.ts';
import { demoTools, setupOf } from '../../scripts/demo/scenario.ts';
import { distributionFunctions } from '../../shared-lib/calibration/distribution-functions.ts';
import { compareCheckpoints } from '../../shared-lib/comparison/checkpoints.ts';
import type { Checkpoint, Comparison } from '../../shared-lib/comparison/comparison-model.ts';
import type { KnownDayToDay } from '../../shared-lib/comparison/day-to-day.ts';
import { ownTrials } from '../../shared-lib/comparison/observations.ts';
import { readRows } from '../../shared-lib/recompute/read-rows.ts';
import { publishedComparisonSchema } from '../../shared-lib/recompute/recompute-comparison.ts';
import { publishedStandingsSchema } from '../../shared-lib/recompute/recompute-standings.ts';
import { setupAsTested } from '../../shared-lib/run-sheet/setup-as-tested.ts';
import type { StandingsInput } from '../../shared-lib/standings/standings-model.ts';
import { askedOf, publish } from './recompute-support/pack-demo.ts';
import { differences, type PackageInMemory } from './recompute-support/package-in-memory.ts';
import { packInFolder } from './recompute-support/pack-in-folder.ts';
import { publishInstead } from './recompute-support/publish-instead.ts';
import { makeSmallPackage } from './recompute-support/small-package.ts';
import { fillSmallWorkshop, OPERATOR, PLANNED_S } from './recompute-support/small-workshop.ts';

/** What was published before scatter of few days and few raters was treated as it is now. */
const STANDINGS = 'published/standings-1.json';
const COMPARISON = 'published/comparison-1.json';

/** Two tools of two sessions that one calibration reads, with whatever else was pulled in the demo workshop. */
function packAcrossSessions(): Promise<PackageInMemory> {
  return packInFolder(async (database) => {
    fillTrials(database);
    await fillCatalogue(database);
    readBySecondCalibration(database, 'demo-session-1');
    return publish(database, {
      comparisons: [
        askedOf('pellmar-p7', 'tarnwick-t6', { sessionIds: ['demo-session-1', 'demo-session-3'] }),
      ],
      tableIds: [],
      editionsOf: [],
    });
  });
}

/** Else the scales of two calibrations would be in what is compared. */
function readBySecondCalibration(database: WritableDatabase, sessionId: string): void {
  const trialIds = database
    .prepare<[string], string>(
      `SELECT id FROM trial WHERE session_id = ? AND shown_setup_id IN ('setup-demo-pellmar-p7', 'setup-demo-tarnwick-t6')`,
    )
    .pluck()
    .all(sessionId);
  for (const trialId of trialIds) {
    performRecordingCommand(database, {
      type: 'assign',
      trialId,
      assigned: {
        calibrationId: 'demo-calibration-2',
        reason: 'To see what the newer one makes of it (demo).',
        operator: OPERATOR,
        at: '2026-03-26T10:00:00.000Z',
      },
      levelsNm: [],
    });
  }
}

/** From the torques that the package has in its table of figures. */
async function checkpointsWith(
  files: PackageInMemory,
  { a, b, trials, checkpoints, confidence }: Comparison,
  dayToDayAt: (checkpoint: Checkpoint) => KnownDayToDay | null,
): Promise<ReturnType<typeof compareCheckpoints>> {
  const file = 'tables/trial-figures.csv';
  const rows = readRows(await files.text(file), file);
  return compareCheckpoints(
    {
      a: a.contender.key,
      b: b.contender.key,
      confidence,
      trials: ownTrials(trials),
      checkpoints: checkpoints.map((checkpoint) => ({
        atS: checkpoint.atS,
        dayToDay: dayToDayAt(checkpoint),
        trials: rows.map((row) => ({
          trialId: row['trial_id'] ?? '',
          valueNm: Number(row[`torque_at_${checkpoint.atS}_s_nm`] ?? Number.NaN),
        })),
      })),
    },
    distributionFunctions,
  );
}

describe('a comparison across sessions', () => {
  it('agrees with checkpoints by the days of each instant, and by those of the measure as before, which is told', async () => {
    const files = await packAcrossSessions();
    const { comparison } = publishedComparisonSchema.parse(JSON.parse(await files.text(COMPARISON)));
    const now = await checkpointsWith(files, comparison, ({ dayToDay }) => dayToDay ?? null);
    expect(now.checkpoints).toEqual(comparison.checkpoints);
    expect(now.checkpoints.every(({ dayToDay }) => dayToDay !== undefined)).toBe(true);
    expect(differences(await files.recompute())).toEqual([]);

    const { standardDeviation = null, degreesOfFreedom = null } = comparison.dayToDay ?? {};
    const ofMeasure =
      standardDeviation === null || degreesOfFreedom === null
        ? null
        : { standardDeviation, degreesOfFreedom };
    const then = await checkpointsWith(files, comparison, () => ofMeasure);
    files.changeJson(COMPARISON, publishedComparisonSchema, (said) => {
      delete said.comparing;
      said.comparison.checkpoints = then.checkpoints.map(({ atS, ratio, isClear }) => ({
        atS,
        ratio,
        isClear,
      }));
      said.comparison.leadStartsAtS = then.leadStartsAtS;
    });
    files.seal();
    const report = await files.recompute();
    expect(differences(report)).toEqual([]);
    expect(report.findings.map(({ where }) => where).join('\n')).toContain('comparison-1.json, checkpoints');
  });
});

/** Of a step that three tools were pulled by, and one of these twice more: once too weak for the level that is asked about. */
function packWithRunsWithoutValue(): Promise<PackageInMemory> {
  return packInFolder(async (database) => {
    const { runCalibrationId } = await fillSmallWorkshop(database);
    const transducer = getTransducer(database, 'small-transducer');
    const [steady, single] = demoTools.slice(0, 2);
    if (steady === undefined || single === undefined) throw new Error('The scenario has too few tools.');
    const weak = { ...single.simulated, blowEnergyJ: single.simulated.blowEnergyJ / 20 };
    const items = listBenchItems(database);
    for (const [day, simulated] of [
      ['2026-03-10', single.simulated],
      ['2026-03-11', weak],
    ] as const) {
      const sessionId = `session-${day}`;
      const startedAt = (minute: number) => new Date(`${day}T09:0${String(minute)}:00.000Z`);
      createSession(database, {
        id: sessionId,
        transducerId: transducer.id,
        startedAt: startedAt(0).toISOString(),
        operator: OPERATOR,
      });
      const pulls = [
        [steady, steady.simulated],
        [single, simulated],
        [steady, steady.simulated],
      ] as const;
      for (const [index, [tool, pulledBy]] of pulls.entries()) {
        recordDemoPull(database, {
          id: `trial-${day}-${String(index)}`,
          sessionId,
          calibrationId: runCalibrationId,
          transducer,
          startedAt: startedAt(index + 1),
          step: { toolName: tool.name, kind: 'tighten', direction: 'forward', plannedS: PLANNED_S },
          setup: setupAsTested(setupOf(tool), items),
          place: null,
          tool: pulledBy,
          runScatter: tool.runScatter,
          seed: Number(day.slice(-2)) + index,
          sampleRateHz: 1000,
          operator: OPERATOR,
        });
      }
    }
    return publish(database, {
      comparisons: [
        askedOf('tarnwick-t6', 'hollin-h5', {
          step: { kind: 'tighten', direction: 'forward', plannedS: PLANNED_S },
          measure: { figure: 'timeToLevel', levelNm: 200 },
          sessionIds: ['session-2026-03-10', 'session-2026-03-11'],
        }),
      ],
      tableIds: [],
      editionsOf: [],
    });
  });
}

describe('a comparison in which one has a single run with a value', () => {
  const BORROWED =
    'one run in a session says nothing of its scatter; that of the other setups is taken for it.';

  it('agrees by whom its caution names now, and by whom it named before, which is told', async () => {
    const files = await packWithRunsWithoutValue();
    const { comparison } = publishedComparisonSchema.parse(JSON.parse(await files.text(COMPARISON)));
    expect(comparison.a).toMatchObject({ count: 1, noValueCount: 1, sessionCount: 2 });
    const now = `${comparison.a.contender.label}: ${BORROWED}`;
    expect(comparison.cautions).toContain(now);
    expect(differences(await files.recompute())).toEqual([]);

    const published = (isNumbered: boolean): PackageInMemory => {
      const before = files.copy();
      before.changeJson(COMPARISON, publishedComparisonSchema, (said) => {
        if (!isNumbered) delete said.comparing;
        // Nobody was named: one run with a value stood against two sessions.
        said.comparison.cautions = said.comparison.cautions.map((words) =>
          words === now ? `: ${BORROWED}` : words,
        );
      });
      before.seal();
      return before;
    };
    const report = await published(false).recompute();
    expect(differences(report)).toEqual([]);
    expect(report.findings.map(({ where }) => where)).toContain(`${COMPARISON}, cautions`);
    expect(differences(await published(true).recompute()).join('\n')).toContain(
      `the package says “: ${BORROWED}”`,
    );
  });
});

describe('standings with handling by two raters', () => {
  const forgetDegrees = ({ subjects }: StandingsInput): void => {
    for (const { properties } of subjects) for (const one of properties) delete one.degreesOfFreedom;
  };

  it('agree as before, drawn as if the scatter of the raters were known, which is told', async () => {
    const { files } = await makeSmallPackage();
    const saidNow = publishedStandingsSchema.parse(JSON.parse(await files.text(STANDINGS)));
    expect(saidNow.placeRanges.sentences.join(' ')).toContain('how far raters differ is not in the ranges');
    const before = files.copy();
    publishInstead(before, STANDINGS, (input) => {
      delete input.gathering;
      forgetDegrees(input);
    });
    const saidThen = publishedStandingsSchema.parse(JSON.parse(await before.text(STANDINGS)));
    expect(saidThen.placeRanges.sentences.join(' ')).not.toContain('how far raters differ');
    expect(saidThen.placeRanges.criticalValue).not.toBe(saidNow.placeRanges.criticalValue);
    const report = await before.recompute();
    expect(differences(report)).toEqual([]);
    expect(report.findings.map(({ what }) => what).join('\n')).toContain(
      'was drawn as if it were known exactly',
    );
  });

  it('are caught where they are drawn so by the rules of today', async () => {
    const { files } = await makeSmallPackage();
    publishInstead(files, STANDINGS, forgetDegrees);
    expect(differences(await files.recompute()).join('\n')).toMatch(
      /handling, degrees of freedom: the package says none; computed: 1/,
    );
  });
});
