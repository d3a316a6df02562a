import { useState } from 'react';
import { Link } from 'wouter';
import type { TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { sheetAddress } from '../../run-sheet/run-sheet-addresses.ts';
import { Button } from '../../ui/Button.tsx';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { sessionAddress } from '../sessions/session-addresses.ts';
import { RelabelDialog } from './RelabelDialog.tsx';
import { preparationRows, setupRows } from '../../../shared-lib/trial/words/setup-rows.ts';

/** What was pulled, where it stood in its run sheet, and how the setup was found then. */
export function TestedPanel({ record }: { readonly record: TrialRecord }) {
  const torque = useTorqueDisplay();
  const [isAsked, setIsAsked] = useState(false);
  const { summary, conditions } = record;
  const preparation = preparationRows(conditions);
  return (
    <Panel
      title="What was tested"
      actions={
        summary.state === 'recording' ? null : (
          <Button onPress={() => setIsAsked(true)}>Put the tool or setup right</Button>
        )
      }
    >
      <DataList label="Tool, setup and step">
        {setupRows(record, torque.format).map(({ name, value }) => (
          <DataRow key={name} name={name}>
            {value}
          </DataRow>
        ))}
        <DataRow name="Session">
          <Link href={sessionAddress(summary.sessionId)}>Its summary</Link>
        </DataRow>
        {conditions.place === null ? null : (
          <DataRow name="Run sheet">
            <Link href={sheetAddress(conditions.place.runSheetId)}>Open it</Link>
          </DataRow>
        )}
      </DataList>
      {preparation.length === 0 ? (
        <p className="trial-aside">Pulled outside of a run sheet, so nothing was asked for before it.</p>
      ) : (
        <>
          <h3>As it was found then</h3>
          <DataList label="Place, rest and preparation">
            {preparation.map(({ name, value }) => (
              <DataRow key={name} name={name}>
                {value}
              </DataRow>
            ))}
          </DataList>
        </>
      )}
      {isAsked ? <RelabelDialog summary={summary} onClose={() => setIsAsked(false)} /> : null}
    </Panel>
  );
}
