import type { ReactNode } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { Router } from 'wouter';
import { BenchStore } from '../../../../../renderer/api-client/bench-store.ts';
import { ConnectionProvider } from '../../../../../renderer/api-client/ConnectionContext.tsx';
import { FailedChecks } from '../../../../../renderer/calibrate/check/FailedChecks.tsx';
import { CheckReasons } from '../../../../../renderer/calibrate/check/Verdict.tsx';
import { demoSettings, readyStatus } from '../../../../helpers/scripted-bench.ts';
import { demoCheck } from '../../../../helpers/scripted-calibration.ts';
import { ScriptedConnection } from '../../../../helpers/scripted-connection.ts';

function textOn(screen: ReactNode): string {
  const store = new BenchStore(new ScriptedConnection(readyStatus, demoSettings));
  return renderToStaticMarkup(
    <Router ssrPath="/calibrate/check">
      <ConnectionProvider store={store}>{screen}</ConnectionProvider>
    </Router>,
  )
    .replaceAll(/<[^>]*>/g, ' ')
    .replaceAll(/\s+/g, ' ');
}

describe('a daily check on the screen', () => {
  it('shows a certificate out of date as a caution of its own for each weight, not as a rule that held', () => {
    const remark = (name: string) => ({
      rule: 'certificate-out-of-date',
      isBroken: false,
      sentence: `The certificate of “${name}” held until 2026-01-31.`,
    });
    const passed = demoCheck(1, 0.2);
    const reasons = [...passed.reasons, remark('20 kg A'), remark('20 kg B')];
    const text = textOn(<CheckReasons reasons={reasons} />);
    expect(text).toContain('Held The error may be');
    expect(text).toContain('Caution The certificate of “20 kg A”');
    expect(text).toContain('Caution The certificate of “20 kg B”');
  });

  it('asks about the trials of each failed check by themselves', () => {
    const inUse = demoCheck(7, 2.4);
    const failures = [
      { checkId: 7, failedAt: inUse.at, trialIds: ['trial-8', 'trial-9'] },
      { checkId: 3, failedAt: '2026-01-04T07:30:00.000Z', trialIds: ['trial-1'] },
    ];
    const [first = '', second = '', ...others] = textOn(<FailedChecks failures={failures} checks={[inUse]} />)
      .split(/What the failed check of/)
      .slice(1);
    expect(others).toEqual([]);
    expect(first).toContain('2 trials carry its mark');
    expect(first).toContain('Decides about these 2 trials');
    expect(second).toContain('under an earlier calibration');
    expect(second).toContain('Decides about this trial');
  });
});
