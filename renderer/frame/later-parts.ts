import { lazy } from 'react';

const keys = () => import('./KeysDialog.tsx');
const select = () => import('../ui/SelectField.tsx');

export const KeysDialog = lazy(async () => ({ default: (await keys()).KeysDialog }));

export async function fetchSelectField() {
  return (await select()).SelectField;
}

/** What the frame needs only once it is asked for. */
export function fetchLaterParts(): Promise<unknown> {
  return Promise.all([keys(), select()]);
}
