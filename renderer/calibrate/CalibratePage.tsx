import { useEffect, useRef, useState } from 'react';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { Link } from 'wouter';
import { useStatus } from '../api-client/ConnectionContext.tsx';
import { useRequest } from '../api-client/use-request.ts';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { Notice } from '../ui/Notice.tsx';
import { Page } from '../ui/Panel.tsx';
import { ActiveCalibration, EarlierCalibrations } from './CalibrationVersions.tsx';
import './calibrate.css';
import { NewCalibration } from './NewCalibration.tsx';

export function CalibratePage() {
  const status = useStatus();
  const { result: transducerList } = useRequest('listTransducers', {});
  const { result, error, reload } = useRequest('listCalibrations', {});
  const [saved, setSaved] = useState<CalibrationVersion | null>(null);
  const savedRef = useRef<HTMLDivElement>(null);
  // The form below starts anew, so the eye and the keyboard go to what became of it.
  useEffect(() => savedRef.current?.focus(), [saved]);

  // Without an amplifier a calibration belongs to the real transducer, as the services have it.
  const transducer =
    status?.transducer ?? transducerList?.transducers.find(({ isSimulated }) => !isSimulated) ?? null;
  const versions = (result?.calibrations ?? []).filter(({ transducerId }) => transducerId === transducer?.id);
  const active = versions.find(({ supersededAt }) => supersededAt === null) ?? null;
  const earlier = versions.filter((version) => version !== active);

  return (
    <Page title="Calibrate">
      <FailureNotice error={error} />
      {saved === null ? null : (
        <div ref={savedRef} tabIndex={-1} className="calibrate-saved">
          <Notice kind="information" live="status" actions={<Link href="/bench">Go to the Bench</Link>}>
            “{saved.label}” is saved and in use. Take a new zero before the next trial.
          </Notice>
        </div>
      )}
      {result === null ? null : <ActiveCalibration version={active} />}
      <NewCalibration
        key={saved?.id}
        transducer={transducer}
        active={active}
        onSaved={(version) => {
          setSaved(version);
          reload();
        }}
      />
      <EarlierCalibrations versions={earlier} />
    </Page>
  );
}
