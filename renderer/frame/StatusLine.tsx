import { useEffect, useState } from 'react';
import { Link } from 'wouter';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { useLinkState, useStatus } from '../api-client/ConnectionContext.tsx';
import { StateShape } from '../ui/StateShape.tsx';
import { describeStatusAlarm, describeStatusParts, type StatusPart } from './status-sentences.ts';
import './status-line.css';

/** The thin line that never goes away. Each part leads to where it is put right; what is wrong comes first and whole. */
export function StatusLine() {
  const status = useStatus();
  const linkState = useLinkState();
  const nowMs = useWallClock();
  const alarm = describeStatusAlarm(status, linkState);
  return (
    <footer className="status-line" aria-label="State of the bench">
      <div role="alert" className="status-alarm-place">
        {alarm === null ? null : (
          <p className="status-alarm">
            <StateShape shape="fault" />
            <span>
              <strong>Fault</strong> {alarm.sentence}
            </span>
            {alarm.address === null ? null : <Link href={alarm.address}>Put it right</Link>}
          </p>
        )}
      </div>
      <div className="status-parts">
        {status === null || linkState !== 'open' ? (
          <span className="status-part">Waiting for the program</span>
        ) : (
          <StatusParts status={status} nowMs={nowMs} />
        )}
      </div>
    </footer>
  );
}

function StatusParts({ status, nowMs }: { readonly status: BenchStatus; readonly nowMs: number }) {
  return (
    <>
      {status.amplifier.source === 'simulated' ? <span className="status-mark">Simulated</span> : null}
      {describeStatusParts(status, nowMs).map((part) => (
        <StatusLink key={part.key} part={part} />
      ))}
    </>
  );
}

function StatusLink({ part }: { readonly part: StatusPart }) {
  return (
    <Link href={part.address} className="status-part">
      {part.shape === null ? null : <StateShape shape={part.shape} />}
      <span className="status-part-name">{part.name}</span> <span>{part.state}</span>
    </Link>
  );
}

const CLOCK_INTERVAL_MS = 15_000;

function useWallClock(): number {
  const [nowMs, setNowMs] = useState(() => Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNowMs(Date.now()), CLOCK_INTERVAL_MS);
    return () => clearInterval(timer);
  }, []);
  return nowMs;
}
