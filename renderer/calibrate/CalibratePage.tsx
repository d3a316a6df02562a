import { useState } from 'react';
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
  const [savedLabel, setSavedLabel] = useState<string | null>(null);

  // Without an amplifier a calibration belongs to the real transducer, as the services have it.
  const transducer =
    status?.transducer ?? transducerList?.transducers.find(({ isSimulated }) => !isSimulated) ?? null;
  const versions = (result?.calibrations ?? []).filter(({ transducerId }) => transducerId === transducer?.id);
  const active = versions.find(({ supersededAt }) => supersededAt === null) ?? null;
  const earlier = versions.filter((version) => version !== active);

  return (
    <Page title="Calibrate">
      <FailureNotice error={error} />
      {savedLabel === null ? null : (
        <Notice kind="information" live="status">
          “{savedLabel}” is saved and in use. Take a new zero on the Bench before the next trial.
        </Notice>
      )}
      {result === null ? null : <ActiveCalibration version={active} />}
      <NewCalibration
        transducer={transducer}
        active={active}
        onSaved={(version) => {
          setSavedLabel(version.label);
          reload();
        }}
      />
      <EarlierCalibrations versions={earlier} />
    </Page>
  );
}
