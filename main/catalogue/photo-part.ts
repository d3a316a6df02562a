import { randomUUID } from 'node:crypto';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Photo } from '../../shared-lib/catalogue/catalogue-model.ts';
import { MOST_PHOTOS, whyNoPhoto } from '../../shared-lib/catalogue/photo-kind.ts';
import type { RequestHandlers } from '../services.ts';
import { deletePhoto, getPhoto, insertPhoto } from '../storage/photo-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import type { CatalogueTools } from './catalogue-tools.ts';
import { findTool } from './find-tool.ts';

export function createPhotoPart({ database, clock, emit }: CatalogueTools): {
  readonly handlers: Pick<RequestHandlers, 'addToolPhoto' | 'getToolPhoto' | 'removeToolPhoto'>;
} {
  return {
    handlers: {
      addToolPhoto({ toolId, caption, mediaType, bytes }) {
        const problem = whyNoPhoto(bytes, mediaType);
        if (problem !== null) {
          throw new AppError('photo-invalid', `${problem} Nothing was stored.`, { toolId });
        }
        const photo: Photo = {
          id: randomUUID(),
          toolId,
          caption,
          mediaType,
          addedAt: clock.now().toISOString(),
        };
        return retryWhenLocked(() => {
          findTool(database, toolId);
          insertPhoto(database, photo, bytes, MOST_PHOTOS);
          emit('catalogueChanged', {});
          return photo;
        });
      },
      getToolPhoto: ({ photoId }) => getPhoto(database, photoId),
      removeToolPhoto: ({ photoId }) =>
        retryWhenLocked(() => {
          deletePhoto(database, photoId);
          emit('catalogueChanged', {});
          return {};
        }),
    },
  };
}
