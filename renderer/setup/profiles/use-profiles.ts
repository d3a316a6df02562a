import type { AmplifierProfile } from '../../../shared-lib/amplifier/amplifier-profile.ts';
import type { AppError } from '../../../shared-lib/app-error.ts';
import { useRequest } from '../../api-client/use-request.ts';

export interface ProfileList {
  /** Ready-made ones first; empty until they are known. */
  readonly all: readonly AmplifierProfile[];
  readonly own: readonly AmplifierProfile[];
  readonly error: AppError | null;
  readonly reload: () => void;
}

export function useProfiles(): ProfileList {
  const { result, error, reload } = useRequest('listProfiles', {});
  const all = result?.profiles ?? [];
  return { all, own: all.filter(({ id }) => result?.ownProfileIds.includes(id)), error, reload };
}
