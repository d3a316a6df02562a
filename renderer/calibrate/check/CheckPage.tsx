import { useState } from 'react';
import { Link } from 'wouter';
import type { CheckMeans } from '../../../shared-lib/calibration/daily-check-model.ts';
import { useStatus } from '../../api-client/ConnectionContext.tsx';
import { useRequest } from '../../api-client/use-request.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { calibrateAddresses } from '../calibrate-addresses.ts';
import { SubPage } from '../SubPage.tsx';
import { useVersions } from '../use-versions.ts';
import './check.css';
import { usualMeansToday } from './check-means.ts';
import { newReferenceUnder } from './check-steps.ts';
import { CheckCharts } from './CheckCharts.tsx';
import { CheckHistory } from './CheckHistory.tsx';
import { FailedChecks } from './FailedChecks.tsx';
import { MeansForm } from './MeansForm.tsx';
import { PreparedCheck } from './PreparedCheck.tsx';
import { useDailyChecks } from './use-daily-checks.ts';

/** Two minutes each morning: zero, known load, verdict. */
export function CheckPage() {
  const status = useStatus();
  const { result: daily, error, reload } = useDailyChecks();
  const { result: standards, error: standardsError } = useRequest('listStandards', {}, 'standardsChanged');
  const [chosen, setChosen] = useState<CheckMeans | null>(null);
  const [isChoosing, setIsChoosing] = useState(false);
  const { inUse: calibration, error: inUseError } = useVersions();

  if (calibration === null) {
    return (
      <SubPage title="Daily check">
        <EmptyState
          title="Nothing to check yet"
          actions={<LinkButton href={calibrateAddresses.overview}>Go to Calibrate</LinkButton>}
        >
          <p>
            A check asks whether the bench still reads as it did when it was calibrated. There is no
            calibration in use on this bench; make one first.
          </p>
        </EmptyState>
      </SubPage>
    );
  }

  // What was chosen here, too: a mass may be put right in another window meanwhile.
  const means =
    daily === null || standards === null ? null : usualMeansToday(chosen ?? daily.usualMeans, standards);
  const senses = (['forward', 'reverse'] as const).filter((sense) =>
    sense === 'forward' ? calibration?.hasForward : calibration?.hasReverse,
  );
  return (
    <SubPage title="Daily check">
      <FailureNotice error={error ?? standardsError ?? inUseError} />
      {status !== null && status.amplifier.link !== 'connected' ? (
        <Notice kind="caution" actions={<Link href="/setup#amplifier">Look at the amplifier</Link>}>
          No reading comes in, so nothing can be checked now. Connect the amplifier first.
        </Notice>
      ) : null}
      {daily === null || standards === null || calibration === undefined ? null : (
        <>
          {means === null || isChoosing ? (
            <MeansForm
              standards={standards}
              usual={daily.usualMeans}
              senses={senses}
              onChosen={(next) => {
                setChosen(next);
                setIsChoosing(false);
              }}
            />
          ) : (
            <PreparedCheck
              key={JSON.stringify(means)}
              means={means}
              newReference={newReferenceUnder(daily.checks)}
              onChange={() => setIsChoosing(true)}
              onRecorded={reload}
            />
          )}
          <FailedChecks failures={daily.failures} checks={daily.checks} />
          <CheckCharts checks={daily.checks} charts={daily.charts} />
          <CheckHistory checks={daily.checks} />
        </>
      )}
    </SubPage>
  );
}
