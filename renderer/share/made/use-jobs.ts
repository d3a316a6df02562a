import { useEffect, useState } from 'react';
import type { Job } from '../../../shared-lib/publishing/publishing-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useRequest } from '../../api-client/use-request.ts';

export interface JobsInSight {
  /** Newest first. */
  readonly jobs: readonly Job[];
  /** Something of them has changed since this came into sight. */
  readonly hasMoved: boolean;
}

/** Whatever takes a while, as it goes on. */
export function useJobs(): JobsInSight {
  const connection = useConnection();
  const asked = useRequest('listJobs', {}).result;
  const [told, setTold] = useState<{ readonly jobs: readonly Job[]; readonly after: typeof asked } | null>(
    null,
  );
  useEffect(
    () => connection.subscribe('jobsChanged', ({ jobs }) => setTold({ jobs, after: asked })),
    [connection, asked],
  );
  // An answer that came after a reconnection is newer than what was told before it.
  const isTold = told !== null && told.after === asked;
  return { jobs: isTold ? told.jobs : (asked?.jobs ?? told?.jobs ?? []), hasMoved: told !== null };
}
