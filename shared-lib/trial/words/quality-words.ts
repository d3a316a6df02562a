import type { Quality } from '../trial-model.ts';

export const qualityWords: Readonly<Record<Quality['verdict'], string>> = {
  good: 'Good',
  look: 'Needs a look',
  notUsable: 'Not usable',
};
