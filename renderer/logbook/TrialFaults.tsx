import { formatNumber, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { Panel } from '../ui/Panel.tsx';
import { faultsOnTimeLine } from './trial-sentences.ts';

export function TrialFaults({ record }: { readonly record: TrialRecord }) {
  const { faults, onsetSlot, sampleRateHz, conditions } = record;
  const recordStartS = -onsetSlot / (sampleRateHz ?? conditions.profile.nominalRateHz);
  return (
    <Panel title="Faults">
      {faults.length === 0 ? (
        <p>None were seen.</p>
      ) : (
        <ol className="trial-faults">
          {faultsOnTimeLine(faults, recordStartS).map(({ number, fault, timeS }) => (
            <li key={number}>
              <strong>
                {timeS === null ? 'Not tied to an instant' : `${formatNumber(timeS, 2)}${THIN_SPACE}s`}
              </strong>{' '}
              {fault.sentence}
            </li>
          ))}
        </ol>
      )}
    </Panel>
  );
}
