import { AppError } from '../../shared-lib/app-error.ts';
import { assertNever } from '../../shared-lib/assert-never.ts';
import { distributionFunctions } from '../../shared-lib/calibration/distribution-functions.ts';
import { chartOfCalibration } from '../../shared-lib/charts/calibration-chart.ts';
import type { Chart, ChartKind } from '../../shared-lib/charts/chart-model.ts';
import { type Basis, calibrationInShort } from '../../shared-lib/charts/chart-notes.ts';
import {
  curvesOfComparison,
  meansOfComparison,
  MOST_CURVES,
  trialsOfSide,
} from '../../shared-lib/charts/comparison-charts.ts';
import {
  curvesOfSession,
  drawnTrials,
  meansOfSession,
  mostPulledStep,
} from '../../shared-lib/charts/session-charts.ts';
import { chartOfStandings } from '../../shared-lib/charts/standings-chart.ts';
import { chartOfTrial } from '../../shared-lib/charts/trial-chart.ts';
import type { ClaimCheck, Comparison } from '../../shared-lib/comparison/comparison-model.ts';
import type { Subject } from '../../shared-lib/publishing/publishing-model.ts';
import { readingCalibrationId } from '../../shared-lib/trial/assignment.ts';
import { localDay } from '../platform/local-day.ts';
import { readRecords } from '../report/gather-trials.ts';
import type { RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';
import { createTableReader } from '../standings/read-table.ts';
import { tableWithRanges } from '../standings/table-with-ranges.ts';
import { getEdition } from '../storage/edition-repository.ts';
import { listSessionTrials } from '../storage/session-trials.ts';
import { getTransducer } from '../storage/transducer-repository.ts';
import { gatherCurves } from './gather-curves.ts';

type Tools = Pick<ShareTools, 'database' | 'shown'> & {
  readonly platform: Pick<ShareTools['platform'], 'clock'>;
};
type SubjectOf<Kind extends Subject['kind']> = Extract<Subject, { kind: Kind }>;

/** More claims of one tool than these hide the curves. */
const MOST_CLAIMS = 2;

/** What the pictures of a subject show, with what stands below them. */
export function createChartsPart({ database, shown, platform }: Tools): {
  readonly handlers: Pick<RequestHandlers, 'getChart'>;
} {
  const tables = createTableReader({ database, clock: platform.clock });

  const basisOf = async (trialIds: readonly string[]): Promise<Basis> => {
    const records = await readRecords(shown, trialIds);
    const calibrations: Basis['calibrations'][number][] = [];
    for (const calibrationId of new Set(records.map(readingCalibrationId))) {
      calibrations.push(calibrationInShort(await shown.getCalibrationReport({ calibrationId })));
    }
    return { records, calibrations, dayOf: localDay };
  };

  const ofTrial = async ({ trialId }: SubjectOf<'trial'>): Promise<Chart> => {
    const record = await shown.getTrial({ trialId });
    const { state, isVoided, step } = record.summary;
    if (state === 'recording' || (state === 'reviewing' && !isVoided)) {
      throw noChart(
        'Nobody has decided about this trial yet, and a picture would show it before. Nothing was made. Keep it or void it first.',
      );
    }
    const curve = (await gatherCurves(shown, [trialId], step)).get(trialId);
    if (curve === undefined) throw new Error('A trial without its curve');
    return chartOfTrial(record, curve, await basisOf([trialId]));
  };

  /** As the maker states them for pulls like these; what another kind of pull shows is another torque. */
  const claimsOf = async ({ a, b, step }: Comparison) => {
    if (step.kind !== 'tighten') return [];
    const claims: (ClaimCheck & { toolName: string })[] = [];
    const tools = new Map([a, b].map(({ contender }) => [contender.toolId, contender.toolName]));
    for (const [toolId, toolName] of tools) {
      if (toolId === null) continue;
      const { checks } = await shown.checkClaims({ toolId });
      const alike = checks.filter(
        ({ kind, step: checked }) =>
          kind === 'fastening' && (checked === null || checked.direction === step.direction),
      );
      claims.push(...alike.slice(0, MOST_CLAIMS).map((check) => ({ ...check, toolName })));
    }
    return claims;
  };

  const ofComparison = async (
    { asked }: SubjectOf<'comparison'>,
    kind: 'curves' | 'means',
  ): Promise<Chart> => {
    const { result, notComparable } = await shown.compare(asked);
    if (result === null) {
      throw noChart(
        `These two cannot be compared, so there is no picture of them. ${(notComparable?.reasons ?? []).join(' ')}`,
      );
    }
    const sides = (['a', 'b'] as const).flatMap((side) => trialsOfSide(result, side, Infinity));
    const basis = await basisOf(sides.map(({ trialId }) => trialId));
    const claims = await claimsOf(result);
    if (kind === 'means') return meansOfComparison(result, basis, claims, distributionFunctions);
    const drawn = (['a', 'b'] as const).flatMap((side) => trialsOfSide(result, side, MOST_CURVES / 2));
    const curves = await gatherCurves(
      shown,
      drawn.map(({ trialId }) => trialId),
      result.step,
    );
    return curvesOfComparison(result, curves, basis, claims);
  };

  const ofSession = async ({ sessionId }: SubjectOf<'session'>, kind: 'curves' | 'means'): Promise<Chart> => {
    const report = await shown.getSessionReport({ sessionId });
    const trials = listSessionTrials(database, sessionId).map(({ summary }) => summary);
    const found = mostPulledStep(trials, report.qualityGate, kind === 'means');
    const basis = await basisOf((found?.trials ?? []).map(({ id }) => id));
    if (kind === 'means') return meansOfSession(report, found, basis);
    if (found === null) {
      throw noChart(
        'No trial of this session counts yet, so there are no curves to draw. Nothing was changed. Keep a trial first.',
      );
    }
    const drawn = drawnTrials(found).map(({ id }) => id);
    return curvesOfSession(report, found, await gatherCurves(shown, drawn, found.step), basis);
  };

  const ofCalibration = async ({ calibrationId }: SubjectOf<'calibration'>): Promise<Chart> => {
    const report = await shown.getCalibrationReport({ calibrationId });
    const { isSimulated } = getTransducer(database, report.version.transducerId);
    const chart = chartOfCalibration(report, { isSimulated, dayOf: localDay });
    if (chart === null) {
      throw noChart(
        'This calibration was entered and not made by a guided run, so there are no readings to draw. Its report tells what was entered.',
      );
    }
    return chart;
  };

  const ofTable = async ({ tableId }: SubjectOf<'standings'>): Promise<Chart> => {
    const state = await tableWithRanges(tables, shown, tableId);
    const when = `As it was on ${localDay(platform.clock.now())}`;
    return chartOfStandings({ ...state, when, dayOf: localDay });
  };

  const ofEdition = ({ editionId }: SubjectOf<'edition'>): Chart => {
    const { summary, ...frozen } = getEdition(database, editionId);
    const when = `Edition “${summary.name}”, frozen on ${localDay(summary.createdAt)}`;
    return chartOfStandings({ ...frozen, when, dayOf: localDay });
  };

  const getChart: RequestHandlers['getChart'] = ({ subject, chart }) => {
    switch (subject.kind) {
      case 'trial':
        if (chart === 'curves') return ofTrial(subject);
        break;
      case 'comparison':
        if (chart === 'curves' || chart === 'means') return ofComparison(subject, chart);
        break;
      case 'session':
        if (chart === 'curves' || chart === 'means') return ofSession(subject, chart);
        break;
      case 'calibration':
        if (chart === 'residuals') return ofCalibration(subject);
        break;
      case 'standings':
        if (chart === 'places') return ofTable(subject);
        break;
      case 'edition':
        if (chart === 'places') return ofEdition(subject);
        break;
      case 'everything':
        break;
      default:
        return assertNever(subject, 'Say which pictures this subject has');
    }
    throw noChart(
      `${capital(nameOf[subject.kind])} has no picture of ${kindNames[chart]}. Choose another picture.`,
    );
  };

  return { handlers: { getChart } };
}

const nameOf = {
  trial: 'a trial',
  comparison: 'a comparison',
  session: 'a session',
  calibration: 'a calibration',
  standings: 'a table of standings',
  edition: 'an edition',
  everything: 'everything that is stored together',
} as const satisfies Record<Subject['kind'], string>;

const kindNames = {
  curves: 'curves',
  means: 'means',
  places: 'places',
  residuals: 'residuals',
} as const satisfies Record<ChartKind, string>;

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function noChart(message: string): AppError {
  return new AppError('invalid-request', message);
}
