import { Link } from 'wouter';
import type { Ringing } from '../../../shared-lib/calibration/daily-check-model.ts';
import { fromOwnUnit } from '../../../shared-lib/format-quantity.ts';
import { useConnection, useStatus } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { LinePicture } from '../../ui/picture/LinePicture.tsx';
import { StateShape } from '../../ui/StateShape.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { operatorWords } from '../../../shared-lib/calibration/words/calibration-sentences.ts';
import { LiveCounts } from '../LiveCounts.tsx';
import { SubPage } from '../SubPage.tsx';
import { ringingRows, ringingSummary, shownUntilS } from './ringing-sentences.ts';
import './ringing.css';

/** One tap on the bar shows how the rig rings, and so what of a blow the readings can carry. */
export function RingingPage() {
  const status = useStatus();
  const connection = useConnection();
  const { result, error, reload } = useRequest('getRinging', {});
  const action = useAction();
  const isConnected = status?.amplifier.link === 'connected';
  const ringing = result?.ringing ?? null;
  const watch = () =>
    action.run(async () => {
      await connection.request('recordRinging', {});
      reload();
    });

  return (
    <SubPage title="How the rig rings">
      <FailureNotice error={error} />
      <Panel
        title="Tap the bar once"
        lead="Weights calibrate torque that comes slowly. Under blows the reading also depends on how the rig rings, how often it is sampled and what filter stands before it. One tap shows it."
      >
        <Notice kind="caution">
          Tool off, battery or air taken off, hands clear of anything that can turn. Tap lightly with a soft
          mallet; stay far under the ratings of transducer and rig.
        </Notice>
        {isConnected ? null : (
          <Notice kind="caution" actions={<Link href="/setup#amplifier">Look at the amplifier</Link>}>
            No reading comes in, so nothing can be watched now. Connect the amplifier first.
          </Notice>
        )}
        <div className="calibrate-work">
          <div className="ringing-now">
            <p className="ringing-sentence" role="status">
              {action.isBusy
                ? 'Watching: tap the bar once now, then let it come to rest.'
                : 'Mount everything as for a trial, leave it unloaded, then press.'}
            </p>
            <ActionRow>
              <Button
                look="primary"
                size="bench"
                isDisabled={!isConnected}
                isPending={action.isBusy}
                onPress={() => void watch()}
              >
                {ringing === null ? 'Watch for a tap' : 'Watch for another tap'}
              </Button>
            </ActionRow>
            <p className="calibrate-aside">
              {status?.amplifier.source === 'simulated'
                ? 'The simulated bench is tapped by the program.'
                : 'It watches for 15 seconds at most. Instead of a tap a hanging weight may be let go, where that can be done safely.'}
            </p>
            <FailureNotice error={action.error} />
          </div>
          <aside className="calibrate-side" aria-label="Reading">
            <LiveCounts status={status} />
          </aside>
        </div>
      </Panel>
      {ringing === null ? null : <Answer ringing={ringing} />}
    </SubPage>
  );
}

function Answer({ ringing }: { readonly ringing: Ringing }) {
  const torque = useTorqueDisplay();
  const summary = ringingSummary(ringing, torque.format);
  const { timeS, torqueNm, sentences, refusedMeasures } = ringing;
  const untilS = shownUntilS(ringing);
  return (
    <Panel
      title="What the rig answered"
      lead={`${formatDateTime(ringing.at)}, ${operatorWords(ringing.operator)}. ${summary}`}
    >
      <LinePicture
        summary={summary}
        xTitle="time from the tap, ms"
        yTitle={`torque from rest, ${torque.unitLabel}`}
        lines={[
          {
            label: '',
            look: 'solid',
            color: 5,
            points: timeS.flatMap((time, index) =>
              time > untilS
                ? []
                : [{ x: time * 1000, y: fromOwnUnit(torqueNm[index] ?? Number.NaN, torque.unit) }],
            ),
          },
        ]}
      />
      <div className="ringing-columns">
        <DataList label="Figures of the ringing">
          {ringingRows(ringing).map(({ name, value, note }) => (
            <DataRow key={name} name={name} kind="figure" note={note}>
              {value}
            </DataRow>
          ))}
        </DataList>
        <div className="ringing-meaning">
          <h3>What follows</h3>
          <ul>
            {sentences.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
          {refusedMeasures.length === 0 ? null : (
            <>
              <h3>Refused because of it</h3>
              <ul className="ringing-refused">
                {refusedMeasures.map((measure) => (
                  <li key={measure}>
                    <StateShape shape="caution" /> {measure}
                  </li>
                ))}
              </ul>
            </>
          )}
          <p>The dynamic error does not cancel between tools whose blows have another shape.</p>
        </div>
      </div>
    </Panel>
  );
}
