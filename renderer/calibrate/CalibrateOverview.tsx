import { type ReactNode, useEffect, useRef } from 'react';
import { Link, useSearchParams } from 'wouter';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { useStatus } from '../api-client/ConnectionContext.tsx';
import { useRequest } from '../api-client/use-request.ts';
import { DataList, DataRow } from '../ui/DataRow.tsx';
import { formatDay } from '../ui/date-time.ts';
import { EmptyState } from '../ui/EmptyState.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { ShareLink } from '../share/ShareLink.tsx';
import { LinkButton } from '../ui/LinkButton.tsx';
import { Notice } from '../ui/Notice.tsx';
import { ActionRow, Page, Panel } from '../ui/Panel.tsx';
import { StateShape } from '../ui/StateShape.tsx';
import { calibrateAddresses, reportAddress } from './calibrate-addresses.ts';
import {
  type CalibrationInUse,
  checkShape,
  checkWords,
  nextAction,
  validityWords,
} from './overview-sentences.ts';
import { useVersions } from './use-versions.ts';
import { EarlierVersions } from './versions/EarlierVersions.tsx';
import { VersionFacts } from './versions/VersionFacts.tsx';

/** What the torque of this bench rests on, and the one next right thing about it. */
export function CalibrateOverview() {
  const { versions, active, inUse, error } = useVersions();
  const { result: open } = useRequest('getRun', {}, 'calibrationRunChanged');
  const next = inUse === undefined ? null : nextAction(inUse, open?.run ?? null);
  const earlier = (versions ?? []).filter((version) => version !== active);

  return (
    <Page title="Calibrate">
      <FailureNotice error={error} />
      <SavedNotice active={active} />
      <Panel
        title="Next"
        lead={next?.sentence}
        actions={
          next === null || next.label === null ? null : (
            <LinkButton href={next.address} look="primary">
              {next.label}
            </LinkButton>
          )
        }
      >
        <div className="calibrate-ways">
          <Way title="Daily check" href={calibrateAddresses.check}>
            A zero and a known load, each morning: does the bench still read right?
          </Way>
          <Way title="Guided calibration" href={calibrateAddresses.run}>
            Weights on an arm, step by step, with a fit and its uncertainty.
          </Way>
          <Way title="Calibrate by hand" href={calibrateAddresses.byHand}>
            One weight read by hand, or the figures of a certificate.
          </Way>
          <Way title="Weights, arms and places" href={calibrateAddresses.standards}>
            What a calibration is traced to, entered once and used again.
          </Way>
          <Way title="How the rig rings" href={calibrateAddresses.ringing}>
            One tap on the bar: what rate and bandwidth can resolve under blows.
          </Way>
        </div>
      </Panel>
      {versions === null ? null : (
        <InUse version={active} inUse={inUse ?? null} said={next?.sentence ?? null} />
      )}
      <EarlierVersions versions={earlier} activeId={active?.id ?? null} />
    </Page>
  );
}

/** The form that made it has gone, so the eye and the keyboard go to what became of it. */
function SavedNotice({ active }: { readonly active: CalibrationVersion | null }) {
  const [params] = useSearchParams();
  const savedRef = useRef<HTMLDivElement>(null);
  const isSaved = active !== null && params.get('saved') === active.id;
  useEffect(() => {
    if (isSaved) savedRef.current?.focus();
  }, [isSaved]);
  if (!isSaved) return null;
  return (
    <div ref={savedRef} tabIndex={-1} className="calibrate-saved">
      <Notice kind="information" live="status" actions={<Link href="/bench">Go to the Bench</Link>}>
        “{active.label}” is saved and in use. Take a new zero before the next trial.
      </Notice>
    </div>
  );
}

interface WayProps {
  readonly title: string;
  readonly href: string;
  readonly children: ReactNode;
}

function Way({ title, href, children }: WayProps) {
  return (
    <div className="calibrate-way">
      <h3>
        <Link href={href}>{title}</Link>
      </h3>
      <p>{children}</p>
    </div>
  );
}

interface InUseProps {
  readonly version: CalibrationVersion | null;
  readonly inUse: CalibrationInUse | null;
  /** What stands above already. */
  readonly said: string | null;
}

function InUse({ version, inUse, said }: InUseProps) {
  const onBench = useStatus()?.calibration ?? null;
  if (version === null) {
    return (
      <EmptyState
        title="No calibration yet"
        actions={<Link href="/setup#amplifier">Look at the amplifier in Setup</Link>}
      >
        <p>
          The calibration in use will stand here, with its uncertainty and who made it. Until then the Bench
          shows counts: the program never guesses a torque.
        </p>
      </EmptyState>
    );
  }
  return (
    <Panel
      title="In use"
      actions={
        <ActionRow>
          <LinkButton href={reportAddress(version.id)}>Open its report</LinkButton>
          <ShareLink
            subject={{ kind: 'calibration', calibrationId: version.id }}
            of="this calibration"
            view={version.runId === null ? 'report' : 'chart'}
          />
        </ActionRow>
      }
    >
      <h3>
        {version.label}
        {version.method === 'simulated' ? <span className="calibrate-mark">simulated</span> : null}
      </h3>
      <div className="calibrate-in-use">
        <DataList label="How long it holds">
          {inUse?.id === version.id ? (
            <>
              <DataRow name="Holds">
                <span className="calibrate-state">
                  {inUse.isExpired ? <StateShape shape="fault" /> : null}
                  {validityWords(inUse, formatDay)}
                </span>
              </DataRow>
              <DataRow
                name="Daily check"
                note={inUse.check.sentence === said ? undefined : inUse.check.sentence}
              >
                <span className="calibrate-state">
                  <StateShape shape={checkShape(inUse.check.state)} />
                  {checkWords[inUse.check.state]}
                </span>
              </DataRow>
              {inUse.check.suspectCount === 0 ? null : (
                <DataRow name="Suspect trials, not decided" kind="figure">
                  <Link href="/logbook?state=suspect">{inUse.check.suspectCount}</Link>
                </DataRow>
              )}
            </>
          ) : null}
          {onBench?.id === version.id ? null : (
            <DataRow name="On the bench">
              not applied now: no amplifier is connected, or another one than it was made with
            </DataRow>
          )}
        </DataList>
        <VersionFacts version={version} />
      </div>
    </Panel>
  );
}
