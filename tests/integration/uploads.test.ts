import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { createUploads, type Uploads } from '../../main/exchange/uploads.ts';
import { makeDataFolder } from '../helpers/running-services.ts';

let folder: ReturnType<typeof makeDataFolder>;
let uploads: Uploads;
beforeEach(() => {
  folder = makeDataFolder();
  uploads = createUploads({ dataFolder: folder.path });
});
afterEach(() => {
  uploads.close();
  folder.remove();
});

async function begin(bytes: number): Promise<string> {
  const { uploadId } = await uploads.handlers.beginUpload({ fileName: 'curves.csv', bytes });
  return uploadId;
}
const append = async (uploadId: string, offset: number, bytes: number[]): Promise<unknown> =>
  uploads.handlers.appendUpload({ uploadId, offset, bytes: Uint8Array.from(bytes) });

describe('a file that a window hands over in pieces', () => {
  it('is there byte for byte once the last piece has come, and gone when it is dropped', async () => {
    const uploadId = await begin(5);
    const source = { from: 'upload', uploadId } as const;
    await append(uploadId, 0, [1, 2, 3]);
    expect(() => uploads.fileOf(source)).toThrow(/only 3 of 5 bytes/);
    await append(uploadId, 3, [4, 5]);
    const { path, fileName } = uploads.fileOf(source);
    expect(fileName).toBe('curves.csv');
    expect([...readFileSync(path)]).toEqual([1, 2, 3, 4, 5]);
    uploads.drop(source);
    expect(existsSync(path)).toBe(false);
    expect(() => uploads.fileOf(source)).toThrow(/not here any more/);
  });

  it.each([
    ['left out', 4],
    ['sent again', 0],
  ])('is refused where a piece is %s', async (_name, offset) => {
    const uploadId = await begin(10);
    await append(uploadId, 0, [1, 2, 3]);
    await expect(append(uploadId, offset, [9])).rejects.toMatchObject({ code: 'invalid-request' });
    await append(uploadId, 3, [4]);
  });

  it('is refused where it is longer than was said', async () => {
    const uploadId = await begin(2);
    await expect(append(uploadId, 0, [1, 2, 3])).rejects.toMatchObject({ code: 'invalid-request' });
  });

  it('lies under a name of its own, whatever it is called', async () => {
    const { uploadId } = await uploads.handlers.beginUpload({ fileName: '../../evil', bytes: 1 });
    await append(uploadId, 0, [1]);
    expect(readdirSync(join(folder.path, 'incoming'))).toEqual([uploadId]);
  });

  it('of an earlier start is taken away', () => {
    const incoming = join(folder.path, 'incoming');
    mkdirSync(incoming, { recursive: true });
    writeFileSync(join(incoming, 'left'), 'x');
    createUploads({ dataFolder: folder.path });
    expect(existsSync(incoming)).toBe(false);
  });
});

describe('a file on this machine', () => {
  it('is taken by its whole path alone, and is never removed', () => {
    const path = join(folder.path, 'mine.csv');
    writeFileSync(path, 'a,b');
    expect(uploads.fileOf({ from: 'path', path })).toEqual({ path, fileName: 'mine.csv' });
    uploads.drop({ from: 'path', path });
    expect(existsSync(path)).toBe(true);
    expect(() => uploads.fileOf({ from: 'path', path: 'mine.csv' })).toThrow(/whole path/);
    expect(() => uploads.fileOf({ from: 'path', path: folder.path })).toThrow(/There is no file/);
  });
});
