import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { Notice } from '../ui/Notice.tsx';
import { faultSeverity } from './fault-words.ts';
import './fresh-faults.css';
import { useFreshFaults } from './use-fresh-faults.ts';

interface FreshFaultsProps {
  readonly status: BenchStatus | null;
  /** Whether the alarm of the status line stands right beside them. */
  readonly isBesideAlarm?: boolean;
}

/** What went wrong just now, each with its sentence, spoken when it comes; it goes by itself and stays in the trial. */
export function FreshFaults({ status, isBesideAlarm = false }: FreshFaultsProps) {
  const faults = useFreshFaults(status, isBesideAlarm);
  return (
    <div className="fresh-faults" role="status">
      {faults.map(({ kind, sentence }) => (
        <Notice key={kind} kind={faultSeverity(kind)}>
          {sentence}
        </Notice>
      ))}
    </div>
  );
}
