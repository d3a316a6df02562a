import { describe, expect, it } from 'vitest';
import { findNewestSubject } from '../../../../renderer/share/subject/find-newest-subject.ts';
import { AppError } from '../../../../shared-lib/app-error.ts';
import type { SubjectDescription } from '../../../../shared-lib/publishing/publishing-model.ts';
import type { ListedContender } from '../../../../renderer/compare/choose-pair.ts';
import { demoSettings, demoSummary, readyStatus } from '../../../helpers/scripted-bench.ts';
import { ScriptedConnection } from '../../../helpers/scripted-connection.ts';

const step = { kind: 'tighten', direction: 'forward', plannedS: 5 } as const;
const contender = (name: string): ListedContender => ({
  key: `name:${name}`,
  label: name,
  toolName: name,
  toolId: null,
  setup: null,
  isSimulated: true,
  lastTestedAt: '2026-01-10T09:10:00.000Z',
  steps: [{ step, keptCount: 2, sessionIds: ['demo-session'] }],
});
const described = (charts: SubjectDescription['charts']): SubjectDescription => ({
  title: '',
  sentence: '',
  trialIds: [],
  isSimulated: true,
  charts,
  hasReport: true,
});

function bench(names: readonly string[], trialIds: readonly string[]): ScriptedConnection {
  const connection = new ScriptedConnection(readyStatus, demoSettings);
  connection.answer('listContenders', () => ({
    contenders: names.map(contender),
    sessions: [{ id: 'demo-session', startedAt: '2026-01-10T09:00:00.000Z', operator: '' }],
  }));
  connection.answer('listTrials', () => ({
    total: trialIds.length,
    trials: trialIds.map((id) => demoSummary(id)),
  }));
  connection.answer('listCalibrations', () => ({ calibrations: [] }));
  return connection;
}

describe('what Share shows by itself', () => {
  it('is two against each other where there are two that can be compared', async () => {
    const connection = bench(['hollin h5', 'tarnwick t6', 'brindlow b4'], ['trial-1']);
    let asked = 0;
    connection.answer('describeSubject', () => {
      asked += 1;
      if (asked === 1) throw new AppError('contender-not-found', 'Gone.');
      return described(asked === 2 ? [] : ['curves']);
    });
    const subject = await findNewestSubject(connection);
    expect(subject).toMatchObject({ kind: 'comparison', asked: { step } });
    expect(asked).toBe(3);
  });

  it('is the newest kept trial where no two can be compared', async () => {
    const connection = bench(['hollin h5', 'tarnwick t6'], ['trial-1']);
    connection.answer('describeSubject', () => described([]));
    expect(await findNewestSubject(connection)).toEqual({ kind: 'trial', trialId: 'trial-1' });
  });

  it('is nothing on an empty bench, and what went wrong is told where nobody answers', async () => {
    expect(await findNewestSubject(bench([], []))).toBeNull();
    const connection = bench(['hollin h5', 'tarnwick t6'], []);
    connection.answer('describeSubject', () => {
      throw new AppError('connection-lost', 'Lost.');
    });
    await expect(findNewestSubject(connection)).rejects.toMatchObject({ code: 'connection-lost' });
  });
});
