import { describe, expect, it } from 'vitest';
import type { Job } from '../../../../shared-lib/publishing/publishing-model.ts';
import { endOfJob } from '../../../../renderer/share/made/end-of-job.ts';
import { ChosenFileKeeper } from '../../../../renderer/ui/chosen-file-keeper.ts';
import { uploadFile } from '../../../../renderer/ui/upload-file.ts';
import { AppError } from '../../../../shared-lib/app-error.ts';
import { demoSettings, readyStatus } from '../../../helpers/scripted-bench.ts';
import { ScriptedConnection } from '../../../helpers/scripted-connection.ts';

function connectionWithUploads(): ScriptedConnection {
  const connection = new ScriptedConnection(readyStatus, demoSettings);
  connection.answer('beginUpload', () => ({ uploadId: 'first' }));
  connection.answer('appendUpload', () => ({}));
  connection.answer('dropUpload', () => ({}));
  return connection;
}

const dropped = ({ requests }: ScriptedConnection): unknown[] =>
  requests.filter(({ name }) => name === 'dropUpload').map(({ params }) => params);
const handedOver = (uploadId: string) => ({
  source: { from: 'upload', uploadId } as const,
  name: `${uploadId}.zip`,
});
const turn = () => new Promise((resolve) => setTimeout(resolve));

describe('a file that was handed over for a look', () => {
  it('is dropped when another takes its place, and when the page is left', async () => {
    const connection = connectionWithUploads();
    const keeper = new ChosenFileKeeper(connection);
    await keeper.keep(handedOver('first'));
    expect(dropped(connection)).toEqual([]);
    await keeper.keep(handedOver('second'));
    expect(dropped(connection)).toEqual([{ uploadId: 'first' }]);
    await keeper.keep(null);
    expect(dropped(connection)).toEqual([{ uploadId: 'first' }, { uploadId: 'second' }]);
  });

  it('stays as long as work on it goes on, whether that ends well or badly', async () => {
    const connection = connectionWithUploads();
    const keeper = new ChosenFileKeeper(connection);
    await keeper.keep(handedOver('first'));
    const looking = Promise.withResolvers<unknown>();
    const taking = Promise.withResolvers<unknown>();
    keeper.needFor(looking.promise);
    keeper.needFor(taking.promise);
    const left = keeper.keep(null);
    looking.reject(new AppError('package-invalid', 'It is none.'));
    await turn();
    expect(dropped(connection)).toEqual([]);
    taking.resolve({});
    await left;
    expect(dropped(connection)).toEqual([{ uploadId: 'first' }]);
  });

  it('is left alone where it lies on the machine of the program', async () => {
    const connection = connectionWithUploads();
    const keeper = new ChosenFileKeeper(connection);
    await keeper.keep({ source: { from: 'path', path: '/data/mine.zip' }, name: 'mine.zip' });
    await keeper.keep(null);
    expect(connection.requests).toEqual([]);
  });

  it('is dropped by the next start of the program where it cannot be dropped now', async () => {
    const connection = connectionWithUploads();
    connection.answer('dropUpload', () => {
      throw new AppError('connection-lost', 'The program does not answer.');
    });
    const keeper = new ChosenFileKeeper(connection);
    await keeper.keep(handedOver('first'));
    await keeper.keep(null);
    expect(dropped(connection)).toHaveLength(1);
  });

  it('is dropped where the page is left before all of it has gone over', async () => {
    const connection = connectionWithUploads();
    const file = new File([new Uint8Array(100)], 'small.zip');
    const options = { onProgress: () => undefined, isCancelled: () => connection.requests.length > 1 };
    await expect(uploadFile(connection, file, options)).rejects.toMatchObject({ code: 'cancelled' });
    expect(dropped(connection)).toEqual([{ uploadId: 'first' }]);
  });
});

describe('a package that is being taken in', () => {
  const job = (state: Job['state']): Job => ({
    jobId: 'job-1',
    title: 'Taking in small.zip',
    state,
    fraction: 0.5,
    sentence: '',
    fileName: null,
    failure: null,
  });

  it.each(['done', 'failed', 'cancelled'] as const)(
    'is needed until its job is %s, whatever other jobs do',
    async (state) => {
      const connection = connectionWithUploads();
      let isOver = false;
      const over = endOfJob(connection, 'job-1').then(() => {
        isOver = true;
      });
      connection.send('jobsChanged', { jobs: [job('waiting')] });
      connection.send('jobsChanged', { jobs: [{ ...job('done'), jobId: 'job-2' }, job('working')] });
      await turn();
      expect(isOver).toBe(false);
      connection.send('jobsChanged', { jobs: [job(state)] });
      await over;
    },
  );
});
