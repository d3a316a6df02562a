import type { TorqueUnit } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { assertNever } from '../../shared-lib/assert-never.ts';
import type { ChartKind } from '../../shared-lib/charts/chart-model.ts';
import type { Subject } from '../../shared-lib/publishing/publishing-model.ts';
import type { ReportChart } from '../../shared-lib/report/report-blocks.ts';
import type { ReportContext } from '../../shared-lib/report/report-context.ts';
import type { Report } from '../../shared-lib/report/report-model.ts';
import { reportOfCalibration } from '../../shared-lib/report/report-of-calibration.ts';
import { reportOfComparison, reportOfNotComparable } from '../../shared-lib/report/report-of-comparison.ts';
import { reportOfSession } from '../../shared-lib/report/report-of-session.ts';
import { reportOfStandings, type StandingsReportInput } from '../../shared-lib/report/report-of-standings.ts';
import { reportOfTrial } from '../../shared-lib/report/report-of-trial.ts';
import { DEFINITION_VERSION } from '../../shared-lib/trial/definition-version.ts';
import { localInstant } from '../platform/local-instant.ts';
import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';
import { createTableReader } from '../standings/read-table.ts';
import { tableWithRanges } from '../standings/table-with-ranges.ts';
import { amplifierName } from '../storage/amplifier-repository.ts';
import { ownBench } from '../storage/bench-repository.ts';
import { getEdition } from '../storage/edition-repository.ts';
import { listEndedTrials } from '../storage/ended-trials.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { getTransducer } from '../storage/transducer-repository.ts';
import { gatherTrials, orNull, readRecords } from './gather-trials.ts';

type Tools = Pick<ShareTools, 'database' | 'shown'> & {
  readonly platform: Pick<ShareTools['platform'], 'clock' | 'softwareVersion'>;
};

export interface ReportGatherer {
  /**
   * Everything that is known of a subject, in words.
   *
   * Errors: the 'not-found' of what it is; 'trial-not-finished' and 'invalid-state' for a trial whose figures nobody may see yet;
   * 'invalid-request' for everything that is stored, of which there is no report.
   */
  reportOf(subject: Subject, torqueUnit: TorqueUnit): Promise<Report>;
}

const captions: Readonly<Record<ChartKind, string>> = {
  curves:
    'Torque over time from onset, every run; drawn for the eye, all figures come from the measuring curve.',
  means: 'Means with their 95 % intervals, and every run behind them.',
  places: 'Places with what the scatter of the trials leaves open.',
  residuals: 'What the fit leaves of each reading, beside the expanded uncertainty.',
};

export function createReportGatherer(
  { database, shown, platform }: Tools,
  getChart: RequestHandlers['getChart'],
): ReportGatherer {
  const tables = createTableReader({ database, clock: platform.clock });

  const chartsOf = async (subject: Subject, kinds: readonly ChartKind[]): Promise<ReportChart[]> => {
    const drawn: ReportChart[] = [];
    for (const kind of kinds) {
      const chart = await orNull('invalid-request', () => getChart({ subject, chart: kind }));
      if (chart !== null) drawn.push({ chart, caption: captions[kind] });
    }
    return drawn;
  };

  const ofTrial = async (subject: Subject & { kind: 'trial' }, context: ReportContext): Promise<Report> => {
    refuseUndecided(await shown.getTrial({ trialId: subject.trialId }));
    const { records, sessions, sheets, calibrations, calibrationLabel } = await gatherTrials(shown, [
      subject.trialId,
    ]);
    const [[record], [calibration]] = [records, calibrations];
    if (record === undefined || calibration === undefined) throw new Error('A trial without its record');
    return reportOfTrial(
      {
        record,
        session: sessions[0] ?? null,
        sheet: sheets[0] ?? null,
        calibration,
        calibrationLabel,
        charts: await chartsOf(subject, ['curves']),
      },
      context,
    );
  };

  const ofComparison = async (
    subject: Subject & { kind: 'comparison' },
    context: ReportContext,
  ): Promise<Report> => {
    const { result: comparison, notComparable } = await shown.compare(subject.asked);
    if (comparison === null) {
      const { contenders } = await shown.listContenders({});
      const labelOf = (key: string) => contenders.find((contender) => contender.key === key)?.label ?? key;
      const { a, b } = subject.asked;
      return reportOfNotComparable(
        { a: labelOf(a), b: labelOf(b) },
        notComparable ?? { reasons: ['No reason was given.'] },
        context,
      );
    }
    const gathered = await gatherTrials(
      shown,
      comparison.trials.map(({ trialId }) => trialId),
    );
    const drawn = await chartsOf(subject, ['means', 'curves']);
    return reportOfComparison({ comparison, ...gathered, charts: drawn }, context);
  };

  const ofSession = async (
    subject: Subject & { kind: 'session' },
    context: ReportContext,
  ): Promise<Report> => {
    const session = await shown.getSessionReport(subject);
    const { trialIds } = listEndedTrials(database, { sessionId: subject.sessionId });
    const gathered = await gatherTrials(shown, trialIds);
    const drawn = await chartsOf(subject, ['means', 'curves']);
    return reportOfSession({ ...gathered, session, charts: drawn }, context);
  };

  const ofCalibration = async (
    subject: Subject & { kind: 'calibration' },
    context: ReportContext,
  ): Promise<Report> => {
    const calibration = await shown.getCalibrationReport(subject);
    const { transducerId, amplifierId } = calibration.version;
    return reportOfCalibration(
      {
        calibration,
        transducer: await orNull('transducer-not-found', () => getTransducer(database, transducerId)),
        amplifierName:
          amplifierId === null
            ? null
            : await orNull('amplifier-not-found', () => amplifierName(database, amplifierId)),
        charts: await chartsOf(subject, ['residuals']),
      },
      context,
    );
  };

  const ofStandings = async (
    subject: Subject,
    source: Pick<StandingsReportInput, 'input' | 'standings' | 'placeRanges' | 'edition'>,
    context: ReportContext,
  ): Promise<Report> => {
    const voidedIds = source.input.trials.flatMap(({ trialId, leftOutBecause }) =>
      leftOutBecause === 'voided' ? [trialId] : [],
    );
    const voided = await readRecords(shown, voidedIds);
    const drawn = await chartsOf(subject, ['places']);
    return reportOfStandings({ ...source, voided, charts: drawn }, context);
  };

  return {
    async reportOf(subject, torqueUnit) {
      const context: ReportContext = {
        torqueUnit,
        madeAt: platform.clock.now().toISOString(),
        softwareVersion: platform.softwareVersion,
        definitionVersion: DEFINITION_VERSION,
        benchName: (await retryWhenLocked(() => ownBench(database))).name,
        formatInstant: localInstant,
      };
      switch (subject.kind) {
        case 'trial':
          return ofTrial(subject, context);
        case 'comparison':
          return ofComparison(subject, context);
        case 'session':
          return ofSession(subject, context);
        case 'calibration':
          return ofCalibration(subject, context);
        case 'standings': {
          const state = await tableWithRanges(tables, shown, subject.tableId);
          return ofStandings(subject, { ...state, edition: null }, context);
        }
        case 'edition': {
          const { summary, ...frozen } = getEdition(database, subject.editionId);
          const { sinceThen } = await shown.getEdition(subject);
          return ofStandings(subject, { ...frozen, edition: { summary, sinceThen } }, context);
        }
        case 'everything':
          throw new AppError(
            'invalid-request',
            'There is no report of everything that is stored. Nothing was made. Choose a trial, a session, a comparison, a calibration or standings.',
          );
        default:
          return assertNever(subject, 'A subject without a report');
      }
    },
  };
}

/** A report would show what is to be decided blind. */
function refuseUndecided({
  summary: { id, state, isVoided },
}: {
  readonly summary: { readonly id: string; readonly state: string; readonly isVoided: boolean };
}): void {
  if (state === 'recording') {
    throw new AppError(
      'trial-not-finished',
      'This trial is still being recorded, so there is no report of it yet. Nothing was changed. Look again when it has ended.',
      { trialId: id },
    );
  }
  if (state === 'reviewing' && !isVoided) {
    throw new AppError(
      'invalid-state',
      'Nobody has decided about this trial yet, and a report would show its figures. Nothing was made. Keep it or void it first.',
      { trialId: id },
    );
  }
}
