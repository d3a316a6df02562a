import { useEffect, useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { useLinkState, useStatus } from '../api-client/ConnectionContext.tsx';
import { FreshFaults } from '../faults/FreshFaults.tsx';
import { StateShape } from '../ui/StateShape.tsx';
import { isWithin } from './places.ts';
import { describeStatusAlarm, describeStatusParts, sourceMark, type StatusPart } from './status-sentences.ts';
import './status-line.css';

/** The thin line that never goes away. Each part leads to where it is put right; what is wrong comes first and whole. */
export function StatusLine() {
  const status = useStatus();
  const linkState = useLinkState();
  const nowMs = useWallClock();
  const [location] = useLocation();
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
      {/* The Bench shows them over its curve, in type that is read from there. */}
      {isWithin(location, '/bench') ? null : <FreshFaults status={status} isBesideAlarm />}
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
  const mark = sourceMark(status.amplifier.source);
  return (
    <>
      {mark === null ? null : <span className="status-mark">{mark}</span>}
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
