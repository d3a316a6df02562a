import { describe, expect, it } from 'vitest';
import type { Job } from '../../../../shared-lib/publishing/publishing-model.ts';
import { readDataChoices, firstChoices } from '../../../../renderer/share/data/data-choices.ts';
import { outcomeSentence, shownJobs, sizeWords } from '../../../../renderer/share/made/job-words.ts';
import { readWholeFile } from '../../../../renderer/share/made/read-whole-file.ts';
import { readRecent, withRecent } from '../../../../renderer/share/subject/recent-comparisons.ts';
import { demoSettings, readyStatus } from '../../../helpers/scripted-bench.ts';
import { ScriptedConnection } from '../../../helpers/scripted-connection.ts';

const job = (changes: Partial<Job>): Job => ({
  jobId: 'job-1',
  title: 'Report: Hollin H5',
  state: 'working',
  fraction: 0.4,
  sentence: 'Writing page 2.',
  fileName: null,
  failure: null,
  ...changes,
});

describe('what is being made', () => {
  it('stands in the list while it is under way, and when it failed until it is put aside', () => {
    const jobs = [
      job({ jobId: 'a', state: 'waiting' }),
      job({ jobId: 'b' }),
      job({ jobId: 'c', state: 'failed' }),
      job({ jobId: 'd', state: 'done' }),
      job({ jobId: 'e', state: 'cancelled' }),
    ];
    const shown = (putAside: string[]) => shownJobs(jobs, new Set(putAside)).map(({ jobId }) => jobId);
    expect(shown([])).toEqual(['a', 'b', 'c']);
    expect(shown(['c'])).toEqual(['a', 'b']);
  });

  it('is told of once it has ended, and not at every step of its progress', () => {
    expect(outcomeSentence([])).toBe('');
    expect(outcomeSentence([job({})])).toBe('');
    expect(outcomeSentence([job({ state: 'done', sentence: 'Saved as a.pdf.' })])).toBe(
      'Report: Hollin H5: Saved as a.pdf.',
    );
  });

  it('has its size in the unit that leaves up to three digits before the point', () => {
    expect([0, 999, 1000, 12_345, 999_400, 999_600, 2_400_000, 5e9].map(sizeWords)).toEqual([
      '0\u202fB',
      '999\u202fB',
      '1.0\u202fkB',
      '12.3\u202fkB',
      '999\u202fkB',
      '1.0\u202fMB',
      '2.4\u202fMB',
      '5.0\u202fGB',
    ]);
  });
});

describe('a published file that is saved elsewhere', () => {
  const bytes = Uint8Array.from({ length: 10 }, (_, index) => index);
  const connectionWith = (pieceBytes: number, totalOf: (offset: number) => number = () => bytes.length) => {
    const connection = new ScriptedConnection(readyStatus, demoSettings);
    connection.answer('readPublished', ({ offset }) => ({
      bytes: bytes.subarray(offset, offset + pieceBytes),
      totalBytes: totalOf(offset),
    }));
    return connection;
  };

  it('comes piece by piece and is whole in the end', async () => {
    const told: number[] = [];
    const blob = await readWholeFile(connectionWith(4), 'a.zip', {
      onProgress: (fraction) => told.push(fraction),
      isCancelled: () => false,
    });
    expect(new Uint8Array(await blob.arrayBuffer())).toEqual(bytes);
    expect(told).toEqual([0.4, 0.8, 1]);
  });

  it('is refused where it becomes another while it is read', async () => {
    const read = (connection: ScriptedConnection) =>
      readWholeFile(connection, 'a.zip', { onProgress: () => undefined, isCancelled: () => false });
    await expect(read(connectionWith(4, (offset) => 10 + offset))).rejects.toMatchObject({
      code: 'invalid-state',
    });
    await expect(read(connectionWith(0))).rejects.toMatchObject({ code: 'invalid-state' });
  });

  it('is not saved where it was cancelled midway', async () => {
    const connection = connectionWith(4);
    await expect(
      readWholeFile(connection, 'a.zip', {
        onProgress: () => undefined,
        isCancelled: () => connection.requests.length >= 2,
      }),
    ).rejects.toMatchObject({ code: 'cancelled' });
    expect(connection.requests).toHaveLength(2);
  });
});

describe('what this browser remembers of Share', () => {
  const asked = (a: string) => ({
    step: { kind: 'tighten', direction: 'forward', plannedS: 5 } as const,
    a,
    b: 'name:tarnwick t6',
    sessionIds: null,
    isForced: false,
    measure: { figure: 'sustainedTorque' } as const,
  });

  it('has the newest comparison first, each once, and eight at most', () => {
    let recent = readRecent(null);
    for (let index = 0; index < 10; index += 1) {
      recent = withRecent(recent, { title: `Pair ${index}`, asked: asked(`name:tool ${index}`) });
    }
    recent = withRecent(recent, { title: 'Pair 5 again', asked: asked('name:tool 5') });
    expect(recent.map(({ title }) => title)).toEqual([
      'Pair 5 again',
      ...[9, 8, 7, 6, 4, 3, 2].map((index) => `Pair ${index}`),
    ]);
    expect(readRecent(JSON.stringify(recent))).toEqual(recent);
  });

  it('counts as nothing where another version or a person wrote it', () => {
    for (const text of ['', '{', '[{"title":1}]', 'null']) expect(readRecent(text)).toEqual([]);
    for (const text of [null, '', '{', '{"licence":"mine"}']) {
      expect(readDataChoices(text)).toEqual(firstChoices);
    }
    const chosen = { licence: 'CC0-1.0', withPhotos: true, spreadsheet: 'semicolon' } as const;
    expect(readDataChoices(JSON.stringify(chosen))).toEqual(chosen);
  });
});
