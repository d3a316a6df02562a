import { formatNumber, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { faultFigure, faultSeverity, faultWords } from '../faults/fault-words.ts';
import { Panel } from '../ui/Panel.tsx';
import { StateShape } from '../ui/StateShape.tsx';
import { faultsOnTimeLine } from './trial-sentences.ts';

export function TrialFaults({ record }: { readonly record: TrialRecord }) {
  const { faults, onsetSlot, sampleRateHz, conditions } = record;
  const recordStartS = -onsetSlot / (sampleRateHz ?? conditions.profile.nominalRateHz);
  if (faults.length === 0) {
    return (
      <Panel title="Faults">
        <p>None were seen.</p>
      </Panel>
    );
  }
  return (
    <Panel title="Faults" lead="Times count from onset; the numbers stand at the curve too.">
      <table className="trial-faults">
        <caption className="visually-hidden">Faults in the order of time</caption>
        <thead>
          <tr>
            <th scope="col">No.</th>
            <th scope="col">Time</th>
            <th scope="col">What and how much</th>
          </tr>
        </thead>
        <tbody>
          {faultsOnTimeLine(faults, recordStartS).map(({ number, fault, timeS }) => (
            <tr key={number}>
              <th scope="row">{number}</th>
              <td className="trial-faults-time">
                {timeS === null ? 'no instant' : `${formatNumber(timeS, 2)}${THIN_SPACE}s`}
              </td>
              <td>
                <span className="trial-faults-kind">
                  <StateShape shape={faultSeverity(fault.kind)} />
                  <strong>{faultWords[fault.kind]}</strong> <span>{faultFigure(fault)}</span>
                </span>
                <span className="trial-aside">{fault.sentence}</span>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Panel>
  );
}
