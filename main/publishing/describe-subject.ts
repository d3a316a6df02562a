import type { RequestResult } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { assertNever } from '../../shared-lib/assert-never.ts';
import { formatQuantity, formatTorqueInBothUnits } from '../../shared-lib/format-quantity.ts';
import { describeComparedStep } from '../../shared-lib/comparison/measure-words.ts';
import type { Subject, SubjectDescription } from '../../shared-lib/publishing/publishing-model.ts';
import { describeSetup } from '../../shared-lib/run-sheet/describe-entry.ts';
import type { Standings, StandingsInput } from '../../shared-lib/standings/standings-model.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { localDay } from '../platform/local-day.ts';
import type { ShareTools } from '../share-tools.ts';
import { createTableReader } from '../standings/read-table.ts';
import { getEdition } from '../storage/edition-repository.ts';
import { listEndedTrials } from '../storage/ended-trials.ts';
import { listTransducers } from '../storage/transducer-repository.ts';

export interface SubjectReader {
  /** What there is to publish of it. Errors: the 'not-found' of what it is; those of `compare`. */
  describe(subject: Subject): Promise<SubjectDescription>;
}

type Tools = Pick<ShareTools, 'database' | 'shown'> & {
  readonly platform: Pick<ShareTools['platform'], 'clock'>;
};

/** What is published, in words and with the trials whose data go with it. */
export function createSubjectReader({ database, shown, platform }: Tools): SubjectReader {
  const tables = createTableReader({ database, clock: platform.clock });

  return {
    async describe(subject) {
      switch (subject.kind) {
        case 'trial':
          return describeTrial(await shown.getTrial(subject));
        case 'comparison':
          return describeComparison(await shown.compare(subject.asked));
        case 'session': {
          const report = await shown.getSessionReport(subject);
          return describeSession(report, listEndedTrials(database, subject).trialIds);
        }
        case 'calibration': {
          const report = await shown.getCalibrationReport(subject);
          const { transducerId } = report.version;
          const isSimulated = listTransducers(database).some(
            (one) => one.id === transducerId && one.isSimulated,
          );
          return describeCalibration(report, listEndedTrials(database, subject).trialIds, isSimulated);
        }
        case 'standings': {
          const { input, standings } = tables.stateOf(subject.tableId);
          return describeTable(standings.table.name, 'As it is now', standings, input);
        }
        case 'edition': {
          const { summary, input, standings } = getEdition(database, subject.editionId);
          const frozen = `Frozen on ${localDay(summary.createdAt)}`;
          return describeTable(`${standings.table.name}, ${summary.name}`, frozen, standings, input);
        }
        case 'everything': {
          const { trialIds, isSimulated } = listEndedTrials(database);
          return {
            title: 'Everything that is stored',
            sentence: `${countOf(trialIds.length, 'trial', 'trials')}, whatever became of ${trialIds.length === 1 ? 'it' : 'them'}.`,
            trialIds,
            isSimulated,
            charts: [],
            hasReport: false,
          };
        }
        default:
          return assertNever(subject, 'A subject that nobody describes');
      }
    },
  };
}

/** What nobody has decided on yet is not shown: its figures would be seen before it is kept or voided. */
function describeTrial({ summary, figures }: TrialRecord): SubjectDescription {
  const { id, step, setup, startedAt, isSimulated, state, isVoided, sustainedTorqueNm } = summary;
  if (state === 'recording') {
    throw new AppError(
      'trial-not-finished',
      'This trial is still being recorded, so there is nothing of it to publish yet. Nothing was changed. Look again when it has ended.',
      { trialId: id },
    );
  }
  const isUndecided = state === 'reviewing' && !isVoided;
  const held =
    figures === null || sustainedTorqueNm === null
      ? ''
      : `, held ${formatTorqueInBothUnits(sustainedTorqueNm, sustainedTorqueNm < 1000 ? 1 : 0)} for ${formatQuantity(0.25, 's', 2)}`;
  const fate = isVoided
    ? ' Voided.'
    : isUndecided
      ? ' Keep it or void it first: until then neither picture nor report shows it.'
      : state === 'interrupted'
        ? ' Interrupted.'
        : '';
  return {
    title: setup === null ? step.toolName : describeSetup(setup),
    sentence: `${capital(describeComparedStep(step))} on ${localDay(startedAt)}${held}.${fate}`,
    trialIds: [id],
    isSimulated,
    charts: isUndecided ? [] : ['curves'],
    hasReport: !isUndecided,
  };
}

function describeComparison({ result, notComparable }: RequestResult<'compare'>): SubjectDescription {
  if (result === null) {
    return {
      title: 'Two that cannot be compared',
      sentence: (notComparable?.reasons ?? []).join(' '),
      trialIds: [],
      isSimulated: false,
      charts: [],
      hasReport: false,
    };
  }
  const { a, b, sentence, trials, step } = result;
  return {
    title: `${a.contender.label} against ${b.contender.label}`,
    sentence,
    trialIds: trials.map(({ trialId }) => trialId),
    isSimulated: a.contender.isSimulated || b.contender.isSimulated,
    // The torque of a breakaway is not one that the tool builds: there is no curve to lay beside another.
    charts: a.count + b.count === 0 ? [] : step.kind === 'breakaway' ? ['means'] : ['curves', 'means'],
    hasReport: true,
  };
}

function describeSession(report: RequestResult<'getSessionReport'>, trialIds: string[]): SubjectDescription {
  const { startedAt, operator, transducerName, isSimulated, keptCount, voidedCount, interruptedCount } =
    report.summary;
  const hasKept = report.setups.some(({ count }) => count > 0);
  const others = [
    voidedCount === 0 ? '' : `, ${voidedCount} voided`,
    interruptedCount === 0 ? '' : `, ${interruptedCount} interrupted`,
  ].join('');
  const by = operator === '' ? '' : ` by ${operator}`;
  return {
    title: `Session of ${localDay(startedAt)}`,
    sentence: `${countOf(keptCount, 'trial', 'trials')} kept${others}; pulled${by} on ${transducerName}.`,
    trialIds,
    isSimulated,
    charts: hasKept ? ['curves', 'means'] : [],
    hasReport: true,
  };
}

function describeCalibration(
  { version, result, madeWithCount }: RequestResult<'getCalibrationReport'>,
  trialIds: string[],
  isSimulated: boolean,
): SubjectDescription {
  const made = `Made on ${localDay(version.createdAt)}${version.operator === '' ? '' : ` by ${version.operator}`}`;
  const reads =
    trialIds.length === 0 && madeWithCount === 0
      ? 'It reads no trial yet.'
      : `It reads ${trialIds.length === 0 ? 'no trial' : countOf(trialIds.length, 'trial', 'trials')}; ${countOf(madeWithCount, 'was', 'were')} made with it.`;
  return {
    title: `Calibration ${version.label}`,
    sentence: `${made}${version.supersededAt === null ? '' : `, superseded on ${localDay(version.supersededAt)}`}. ${reads}`,
    trialIds,
    isSimulated,
    charts: (result?.senses.length ?? 0) > 0 ? ['residuals'] : [],
    hasReport: true,
  };
}

function describeTable(
  title: string,
  when: string,
  { table, rows, notRanked }: Standings,
  { trials }: StandingsInput,
): SubjectDescription {
  const [first] = rows;
  const leaders = rows.filter(({ place }) => place === 1).map(({ contender }) => contender.label);
  const lead =
    first === undefined
      ? 'nobody is ranked yet.'
      : `${leaders.join(' and ')} ${leaders.length === 1 ? 'leads' : 'lead together'}, ${rows.length} ranked.`;
  const out = notRanked.length === 0 ? '' : ` ${notRanked.length} not ranked.`;
  return {
    title,
    sentence: `${when}: ${lead}${out}`,
    trialIds: trials.map(({ trialId }) => trialId),
    isSimulated: table.isSimulated,
    charts: rows.length === 0 ? [] : ['places'],
    hasReport: true,
  };
}

function countOf(count: number, one: string, many: string): string {
  return `${count} ${count === 1 ? one : many}`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
