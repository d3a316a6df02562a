import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { useLinkState, useServiceProblem, useStatus } from '../api-client/ConnectionContext.tsx';
import { usePageTitle } from '../ui/use-page-title.ts';
import { describeBench } from './bench-sentences.ts';
import { CutOffNotice } from './CutOffNotice.tsx';
import { NothingConnected } from './NothingConnected.tsx';
import { NextStep } from './NextStep.tsx';
import { RunningBench } from './RunningBench.tsx';
import { sizeProperties, useBenchSizes } from './use-bench-sizes.ts';
import { useRestLeft } from './use-rest-left.ts';
import { needsAwakeScreen, useScreenWake } from './use-screen-wake.ts';
import './bench.css';

/** Where trials are pulled: read from three metres, run with one key. */
export function BenchPage() {
  usePageTitle('Bench');
  const status = useStatusOfNow();
  const linkState = useLinkState();
  const sentences = describeBench(status, linkState, useServiceProblem());
  const sizes = useBenchSizes();
  useScreenWake(needsAwakeScreen(status));
  if (status === null) {
    return (
      <div className="bench" style={sizeProperties(sizes)}>
        <h1 className="visually-hidden">Bench</h1>
        <NextStep sentences={sentences} trial={null} />
      </div>
    );
  }
  const isNothingConnected =
    status.amplifier.source === 'none' && status.trial.phase === 'idle' && linkState === 'open';
  return (
    <div className="bench" style={sizeProperties(sizes)}>
      <h1 className="visually-hidden">Bench</h1>
      {linkState === 'open' && !sentences.isUnderWay ? (
        <CutOffNotice trialIds={cutOffElsewhere(status)} />
      ) : null}
      {isNothingConnected ? (
        <NothingConnected />
      ) : (
        <RunningBench
          status={status}
          isReached={linkState === 'open'}
          sentences={sentences}
          axisPx={sizes.axisPx}
        />
      )}
    </div>
  );
}

/** The one in sight has its own sentence and buttons. */
function cutOffElsewhere({ trial, interruptedTrialIds }: BenchStatus): string[] {
  const inSight = 'trialId' in trial ? trial.trialId : null;
  return interruptedTrialIds.filter((trialId) => trialId !== inSight);
}

/** The newest status, with its rest counted down until the next one comes. */
function useStatusOfNow(): BenchStatus | null {
  const status = useStatus();
  const runSheet = status?.runSheet ?? null;
  const leftS = useRestLeft(runSheet?.restLeftS ?? null);
  if (status === null || runSheet === null || leftS === null) return status;
  return { ...status, runSheet: { ...runSheet, restLeftS: leftS > 0 ? leftS : null } };
}
