import type { Connection } from '../../../shared-lib/api-contract.ts';
import type { CalibrationVersion } from '../../../shared-lib/calibration/calibration-model.ts';
import { stepName } from '../../../shared-lib/comparison/words/compare-sentences.ts';
import { directionNames } from '../../../shared-lib/trial/words/pull-words.ts';
import type { Subject } from '../../../shared-lib/publishing/publishing-model.ts';
import { describeSetup } from '../../../shared-lib/run-sheet/describe-entry.ts';
import type { Transducer, TrialSummary } from '../../../shared-lib/trial/trial-model.ts';
import { formatDateTime, formatTrialTime } from '../../ui/date-time.ts';
import type { RecentComparison } from './recent-comparisons.ts';

export const subjectKinds = [
  { key: 'comparison', label: 'Comparison' },
  { key: 'trial', label: 'Trial' },
  { key: 'session', label: 'Session' },
  { key: 'calibration', label: 'Calibration' },
  { key: 'standings', label: 'Standings' },
  { key: 'everything', label: 'Everything' },
] as const;
/** As they are chosen: a table and its editions stand together. */
export type SubjectKind = (typeof subjectKinds)[number]['key'];

export function kindOf({ kind }: Subject): SubjectKind {
  return kind === 'edition' ? 'standings' : kind;
}

export interface SubjectOption {
  /** The subject as text, so that equal ones have one key. */
  readonly key: string;
  readonly subject: Subject;
  readonly label: string;
  readonly note: string;
}

/** So many of a kind are offered; older trials are found by the search. */
const MOST = 100;

/** What of a kind there is to choose from, the newest first. */
export async function loadOptions(
  connection: Connection,
  kind: SubjectKind,
  { search, recent }: { readonly search: string; readonly recent: readonly RecentComparison[] },
): Promise<SubjectOption[]> {
  switch (kind) {
    case 'comparison':
      return recent.map(({ title, asked }) =>
        option({ kind: 'comparison', asked }, title, stepName(asked.step)),
      );
    case 'trial': {
      const { trials } = await connection.request('listTrials', {
        search,
        state: 'kept',
        sort: 'newest',
        offset: 0,
        limit: MOST,
      });
      return trials.map(trialOption);
    }
    case 'session': {
      const { sessions } = await connection.request('listSessions', { offset: 0, limit: MOST });
      return sessions.map(({ id, startedAt, operator, keptCount, isSimulated }) =>
        option(
          { kind: 'session', sessionId: id },
          `${formatDateTime(startedAt)}${operator === '' ? '' : `, ${operator}`}`,
          `${keptCount} kept${isSimulated ? ', simulated' : ''}`,
        ),
      );
    }
    case 'calibration': {
      const { calibrations } = await connection.request('listCalibrations', {});
      const { transducers } = await connection.request('listTransducers', {});
      return calibrationOptions(calibrations, transducers);
    }
    case 'standings':
      return tablesAndEditions(connection);
    case 'everything':
      return [
        option({ kind: 'everything' }, 'Everything that is stored', 'as data; there is no picture of it'),
      ];
  }
}

/** With the transducer where there are several, since two may have calibrations of one label. */
export function calibrationOptions(
  calibrations: readonly Pick<
    CalibrationVersion,
    'id' | 'label' | 'createdAt' | 'supersededAt' | 'transducerId'
  >[],
  ownTransducers: readonly Pick<Transducer, 'id' | 'name'>[],
): SubjectOption[] {
  const names = new Map(ownTransducers.map(({ id, name }) => [id, name]));
  const isOfSeveral = new Set(calibrations.map(({ transducerId }) => transducerId)).size > 1;
  return calibrations.map(({ id, label, createdAt, supersededAt, transducerId }) => {
    const of = isOfSeveral ? `, ${names.get(transducerId) ?? 'of another bench'}` : '';
    return option(
      { kind: 'calibration', calibrationId: id },
      label,
      `${formatDateTime(createdAt)}${of}${supersededAt === null ? '' : ', superseded'}`,
    );
  });
}

async function tablesAndEditions(connection: Connection): Promise<SubjectOption[]> {
  const { tables } = await connection.request('listStandingsTables', {});
  const perTable = await Promise.all(
    tables.map(async (table): Promise<SubjectOption[]> => {
      const { editions } = await connection.request('listEditions', { tableId: table.id });
      return [
        option(
          { kind: 'standings', tableId: table.id },
          table.name,
          table.isSimulated ? 'as it is now, simulated' : 'as it is now',
        ),
        ...editions.map(({ id, name, createdAt }) =>
          option(
            { kind: 'edition', editionId: id },
            `${table.name}: ${name}`,
            `edition of ${formatDateTime(createdAt)}`,
          ),
        ),
      ];
    }),
  );
  return perTable.flat();
}

function trialOption({ id, step, setup, startedAt, isSimulated }: TrialSummary): SubjectOption {
  const tool = setup === null ? step.toolName : describeSetup(setup);
  return option(
    { kind: 'trial', trialId: id },
    `${tool}, ${directionNames[step.direction].toLowerCase()}`,
    `${formatTrialTime(startedAt)}${isSimulated ? ', simulated' : ''}`,
  );
}

function option(subject: Subject, label: string, note: string): SubjectOption {
  return { key: JSON.stringify(subject), subject, label, note };
}
