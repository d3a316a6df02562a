import { useState } from 'react';
import { useLocation } from 'wouter';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { savedAddress } from './calibrate-addresses.ts';
import { NewCalibration } from './NewCalibration.tsx';
import { SubPage } from './SubPage.tsx';
import { useVersions } from './use-versions.ts';

/** For what is known already: one weight read by hand, or the figures of a certificate. */
export function ByHandPage() {
  const { active, transducer, error } = useVersions();
  const [, navigate] = useLocation();
  const [begunTimes, setBegunTimes] = useState(0);
  return (
    <SubPage title="Calibrate by hand">
      <FailureNotice error={error} />
      <NewCalibration
        key={begunTimes}
        transducer={transducer}
        active={active}
        onSaved={(version) => navigate(savedAddress(version.id))}
        onBeginAnew={() => setBegunTimes((times) => times + 1)}
      />
    </SubPage>
  );
}
