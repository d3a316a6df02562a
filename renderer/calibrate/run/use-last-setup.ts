import type { RunSetup } from '../../../shared-lib/calibration/run-model.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { useVersions } from '../use-versions.ts';
import { type RunForm, runFormSchema } from './run-form.ts';

const STORAGE_KEY = 'proofarm.runForm';

/** What was chosen last in this browser, whether a run came of it or not; null: nothing, or by another version. */
export function rememberedRunForm(): RunForm | null {
  const text = localStorage.getItem(STORAGE_KEY);
  if (text === null) return null;
  const read = runFormSchema.safeParse(parseJson(text));
  return read.success ? read.data : null;
}

export function rememberRunForm(form: RunForm): void {
  localStorage.setItem(STORAGE_KEY, JSON.stringify(form));
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    if (error instanceof SyntaxError) return null;
    throw error;
  }
}

export interface LastSetup {
  readonly isKnown: boolean;
  /** Of the newest calibration that a guided run on this transducer led to. */
  readonly setup: RunSetup | null;
}

export function useLastSetup(): LastSetup {
  const { versions, error: listError } = useVersions();
  const newest = (versions ?? [])
    .filter(({ runId }) => runId !== null)
    .sort((a, b) => b.createdAt.localeCompare(a.createdAt))[0];
  const { result, error } = useRequest(
    'getCalibrationReport',
    newest === undefined ? null : { calibrationId: newest.id },
  );
  // What cannot be found out must not keep anyone from a new run.
  const isKnown =
    listError !== null || (versions !== null && newest === undefined) || result !== null || error !== null;
  return { isKnown, setup: result?.run?.setup ?? null };
}
