import { useEffect, useState } from 'react';
import type { Job } from '../../../shared-lib/publishing/publishing-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useRequest } from '../../api-client/use-request.ts';

/** Whatever takes a while, newest first, as it goes on. */
export function useJobs(): readonly Job[] {
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
  return told !== null && told.after === asked ? told.jobs : (asked?.jobs ?? told?.jobs ?? []);
}
