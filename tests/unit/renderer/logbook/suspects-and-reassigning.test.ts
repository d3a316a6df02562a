import { describe, expect, it } from 'vitest';
import {
  logbookFilter,
  MOST_PICKED,
  pickedAddress,
  withToggled,
} from '../../../../renderer/logbook/logbook-filter.ts';
import { fetchMatching, findVersionsInUse } from '../../../../renderer/logbook/reassign/matching-trials.ts';
import {
  inUseSentence,
  nothingToChooseSentence,
} from '../../../../renderer/logbook/reassign/reassign-sentences.ts';
import { suspectsByCheck } from '../../../../renderer/logbook/suspects/suspects-by-check.ts';
import { suspicionWords } from '../../../../shared-lib/trial/words/suspicion-words.ts';
import { readByWords } from '../../../../shared-lib/trial/words/trial-sentences.ts';
import { demoSettings, readyStatus } from '../../../helpers/scripted-bench.ts';
import { demoEnteredVersion, demoVersion } from '../../../helpers/scripted-calibration.ts';
import { ScriptedConnection } from '../../../helpers/scripted-connection.ts';
import { demoRecord, demoSummary } from './trial-samples.ts';

describe('a trial under the mark of a failed check', () => {
  const suspicion = { checkId: 1, failedAt: '2026-03-05', decision: null, reason: null };

  it('says that a check failed after it, and that nobody has decided', () => {
    expect(suspicionWords(suspicion, (at) => at)).toEqual({
      mark: 'Suspect',
      shape: 'caution',
      sentence:
        'The daily check of 2026-03-05 failed, and no check that passed lies between it and this trial. Whether its torque can be believed has not been decided.',
    });
  });

  it('keeps the reason of the decision beside it', () => {
    const decided = { ...suspicion, decision: 'excluded' as const, reason: 'The arm was bent' };
    expect(suspicionWords(decided, (at) => at)?.sentence).toMatch(
      /leave the trial out.* Reason: The arm was bent$/,
    );
    expect(suspicionWords(null, (at) => at)).toBeNull();
  });
});

describe('trials under the marks of several failed checks', () => {
  const under = (id: string, checkId: number | null) => ({
    id,
    suspicion:
      checkId === null
        ? null
        : { checkId, failedAt: `2026-03-0${checkId}T07:30:00.000Z`, decision: null, reason: null },
  });

  it('are decided on check by check, the newest first, each with its own trials', () => {
    const trials = [under('d', 3), under('c', 7), under('b', 3), under('sound', null), under('a', 7)];
    expect(suspectsByCheck(trials)).toEqual([
      { checkId: 7, failedAt: '2026-03-07T07:30:00.000Z', trialIds: ['c', 'a'] },
      { checkId: 3, failedAt: '2026-03-03T07:30:00.000Z', trialIds: ['d', 'b'] },
    ]);
    expect(suspectsByCheck([])).toEqual([]);
  });
});

describe('the filter in the address', () => {
  it('finds the suspect trials, and is carried on to the page that reassigns them', () => {
    const filter = logbookFilter(new URLSearchParams('search=Hollin H5&state=suspect'));
    expect(filter.query).toEqual({ search: 'Hollin H5', state: 'suspect' });
    expect(filter.suffix).toBe('?search=Hollin+H5&state=suspect');
    expect(filter.address).toBe('/logbook?search=Hollin+H5&state=suspect');
  });

  it('takes what it does not know for no filter', () => {
    expect(logbookFilter(new URLSearchParams('state=nonsense'))).toMatchObject({
      isFiltered: false,
      address: '/logbook',
    });
  });
});

describe('trials to be reassigned', () => {
  const connectionWith = (total: number): ScriptedConnection => {
    const connection = new ScriptedConnection(readyStatus, demoSettings);
    connection.answer('listTrials', ({ offset, limit }) => ({
      total,
      trials: Array.from({ length: Math.max(0, Math.min(limit, total - offset)) }, (_, index) => ({
        ...demoSummary,
        id: `trial-${offset + index}`,
      })),
    }));
    connection.answer('getTrial', ({ trialId }) => ({
      ...demoRecord,
      assignments:
        trialId === 'trial-1'
          ? [{ calibrationId: 'other', label: 'Other', reason: 'why', operator: '', at: '2026-03-06' }]
          : [],
    }));
    return connection;
  };

  it('are all that the filter finds, page by page', async () => {
    const trials = await fetchMatching(connectionWith(1203), { search: '', state: null });
    expect(trials).toHaveLength(1203);
    expect(new Set(trials.map(({ id }) => id)).size).toBe(1203);
  });

  it('are never more than can be decided at once', async () => {
    expect(await fetchMatching(connectionWith(7000), { search: '', state: null })).toHaveLength(5000);
  });

  it('are counted by the calibration that each is read by now', async () => {
    const found = await findVersionsInUse(connectionWith(3), ['trial-0', 'trial-1', 'trial-2']);
    expect(found).toEqual({
      lookedAt: 3,
      counts: [
        { calibrationId: 'calibration-1', count: 2 },
        { calibrationId: 'other', count: 1 },
      ],
    });
  });
});

describe('what the trials to be reassigned are read by', () => {
  const first = { id: 'calibration-1', label: 'Weights in spring (demo)' };
  const second = { id: 'calibration-2', label: 'Weights in autumn (demo)' };
  const elsewhere = { id: 'calibration-3', label: 'Of another transducer (demo)' };
  const readBy = (...ids: string[]) => ({
    counts: ids.map((calibrationId) => ({ calibrationId, count: 2 })),
    lookedAt: 2 * ids.length,
  });

  it('stands there by its label, on whatever transducer it was made', () => {
    const versions = [first, second, elsewhere];
    expect(inUseSentence(readBy(first.id, elsewhere.id), versions, 4)).toBe(
      'Read now: 2 by “Weights in spring (demo)”, 2 by “Of another transducer (demo)”.',
    );
    expect(inUseSentence(readBy(first.id), versions, 300)).toBe(
      'Of the newest 2: 2 by “Weights in spring (demo)”.',
    );
  });

  it('is told to be the only calibration of the transducer, where there is nothing else to choose', () => {
    const only = nothingToChooseSentence([first], readBy(first.id), 'Transducer 1');
    expect(only).toMatch(/^There is no other calibration of “Transducer 1”, and only one of the transducer/);
    expect(nothingToChooseSentence([], readBy(first.id), 'Transducer 1')).toBe(only);
    expect(nothingToChooseSentence([first, second], readBy(first.id), 'Transducer 1')).toBeNull();
    expect(nothingToChooseSentence([first, second], readBy(first.id, second.id), 'Transducer 1')).toBeNull();
  });
});

describe('a reassigned trial', () => {
  it('says which calibration the figures are read by and where its uncertainty stands', () => {
    expect(readByWords({ assignments: [] }, demoVersion)).toBe(
      'Read by “Weights in spring (demo)”, uncertainty for each torque, in its report.',
    );
    const assignments = [{ calibrationId: 'x', label: 'x', reason: 'x', operator: '', at: '' }];
    expect(readByWords({ assignments }, demoEnteredVersion)).toMatch(/^Reassigned, read by/);
  });
});

describe('trials picked out of the list', () => {
  it('are picked and let go one by one, up to what an address can hold', () => {
    const one = withToggled(new Set(), 'trial-1');
    expect([...withToggled(one, 'trial-2')]).toEqual(['trial-1', 'trial-2']);
    expect([...withToggled(one, 'trial-1')]).toEqual([]);
    const full = new Set(Array.from({ length: MOST_PICKED }, (_, index) => `trial-${index}`));
    expect(withToggled(full, 'one-more')).toBe(full);
  });

  it('stand in the address of the page that reassigns them', () => {
    expect(pickedAddress(new Set(['trial-1', 'trial-2']))).toBe(
      '/logbook/reassign?trial=trial-1&trial=trial-2',
    );
  });
});
