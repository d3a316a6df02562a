import type { TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { faultFigure, faultSeverity, faultWords } from '../../faults/fault-words.ts';
import { levelWords } from '../../../shared-lib/level-words.ts';
import { Panel } from '../../ui/Panel.tsx';
import { StateShape } from '../../ui/StateShape.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { instantWords, type TimeLineEntry, timeLineOf } from './moments.ts';

/** What happened when: the course of the run and every fault, as they stand at the curve. */
export function TrialEvents({ record }: { readonly record: TrialRecord }) {
  const { unit } = useTorqueDisplay();
  const { faults, onsetSlot, sampleRateHz, conditions } = record;
  const recordStartS = -onsetSlot / (sampleRateHz ?? conditions.profile.nominalRateHz);
  const entries = timeLineOf(record, recordStartS, (levelNm) => levelWords(levelNm, unit));
  return (
    <Panel
      title="Events"
      lead={
        faults.length === 0
          ? 'Times count from onset. No faults were seen.'
          : 'Times count from onset; the numbers of faults stand at the curve too.'
      }
    >
      <table className="trial-events">
        <caption className="visually-hidden">Events in the order of time</caption>
        <thead>
          <tr>
            <th scope="col" className="trial-events-time">
              Time
            </th>
            <th scope="col">What</th>
          </tr>
        </thead>
        <tbody>
          {entries.map((entry) => (
            <tr key={'moment' in entry ? entry.moment.sentence : `fault ${entry.number}`}>
              <td className="trial-events-time">{instantWords(entry.timeS)}</td>
              <td>
                <Happening entry={entry} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Panel>
  );
}

function Happening({ entry }: { readonly entry: TimeLineEntry }) {
  if ('moment' in entry) return entry.moment.sentence;
  const { number, fault } = entry;
  return (
    <>
      <span className="trial-events-kind">
        <StateShape shape={faultSeverity(fault.kind)} />
        <strong>
          Fault {number}: {faultWords[fault.kind].toLowerCase()}
        </strong>{' '}
        <span>{faultFigure(fault)}</span>
      </span>
      <span className="trial-aside">{fault.sentence}</span>
    </>
  );
}
