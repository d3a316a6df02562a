import { AppError } from '../../shared-lib/app-error.ts';
import { type Photo, photoSchema } from '../../shared-lib/catalogue/catalogue-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';

interface PhotoRow {
  id: string;
  toolId: string;
  caption: string;
  mediaType: string;
  addedAt: string;
}

const columns = 'id, tool_id AS toolId, caption, media_type AS mediaType, added_at AS addedAt';

/** Of all tools, in the order in which they were added. */
export function listPhotos(database: ReadableDatabase): Photo[] {
  return reading(() =>
    database
      .prepare<[], PhotoRow>(`SELECT ${columns} FROM tool_photo ORDER BY added_at, rowid`)
      .all()
      .map((row) => photoSchema.parse(row)),
  );
}

/** Errors: AppError 'photo-not-found'. */
export function getPhoto(database: ReadableDatabase, photoId: string): { photo: Photo; bytes: Uint8Array } {
  return reading(() => {
    const row = database
      .prepare<[string], PhotoRow & { bytes: Uint8Array }>(
        `SELECT ${columns}, bytes FROM tool_photo WHERE id = ?`,
      )
      .get(photoId);
    if (row === undefined) throw photoNotFound(photoId);
    const { bytes, ...photo } = row;
    // A plain array: what comes from the database is a Buffer, which is another thing on its way to a window.
    return { photo: photoSchema.parse(photo), bytes: new Uint8Array(bytes) };
  });
}

/** `most`: how many a tool may have. Errors: AppError 'photo-invalid' where it has that many. */
export function insertPhoto(database: WritableDatabase, photo: Photo, bytes: Uint8Array, most: number): void {
  writing(database, () => {
    const count = database
      .prepare<[string], number>('SELECT count(*) FROM tool_photo WHERE tool_id = ?')
      .pluck()
      .get(photo.toolId);
    if ((count ?? 0) >= most) {
      throw new AppError(
        'photo-invalid',
        `This tool has ${most} photos, which is as many as one may have. The new one was not stored. Remove one first.`,
        { toolId: photo.toolId },
      );
    }
    database
      .prepare(
        'INSERT INTO tool_photo (id, tool_id, caption, media_type, added_at, bytes) VALUES (?, ?, ?, ?, ?, ?)',
      )
      .run(photo.id, photo.toolId, photo.caption, photo.mediaType, photo.addedAt, bytes);
  });
}

/** Errors: AppError 'photo-not-found'. */
export function deletePhoto(database: WritableDatabase, photoId: string): void {
  writing(database, () => {
    const { changes } = database.prepare('DELETE FROM tool_photo WHERE id = ?').run(photoId);
    if (changes === 0) throw photoNotFound(photoId);
  });
}

function photoNotFound(photoId: string): AppError {
  return new AppError(
    'photo-not-found',
    'This photo is not there any more. Nothing was changed. Look at the tool again: it shows the photos that it has.',
    { photoId },
  );
}
