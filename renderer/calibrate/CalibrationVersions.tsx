import { Link } from 'wouter';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { DataList, DataRow } from '../ui/DataRow.tsx';
import { formatDateTime } from '../ui/date-time.ts';
import { EmptyState } from '../ui/EmptyState.tsx';
import { Panel } from '../ui/Panel.tsx';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import { methodWords, operatorWords, senseWords, uncertaintyWords } from './calibration-sentences.ts';

export function ActiveCalibration({ version }: { readonly version: CalibrationVersion | null }) {
  if (version === null) {
    return (
      <EmptyState
        title="No calibration yet"
        actions={<Link href="/setup#amplifier">Look at the amplifier in Setup</Link>}
      >
        <p>
          The calibration in use will stand here, with its uncertainty and who made it. Until then the Bench
          shows counts: the program never guesses a torque. Make one below, from a weight on an arm or from a
          torque you know.
        </p>
      </EmptyState>
    );
  }
  return (
    <Panel title="In use">
      <h3>
        {version.label}
        {version.method === 'simulated' ? <span className="calibrate-mark">simulated</span> : null}
      </h3>
      <VersionFacts version={version} />
    </Panel>
  );
}

export function EarlierCalibrations({ versions }: { readonly versions: readonly CalibrationVersion[] }) {
  if (versions.length === 0) return null;
  return (
    <Panel title="Earlier versions" lead="Never changed: trials stay with the version they were made with.">
      <ul className="calibrate-versions">
        {versions.map((version) => (
          <li key={version.id}>
            <h3>
              {version.label}
              {version.method === 'simulated' ? <span className="calibrate-mark">simulated</span> : null}
            </h3>
            <VersionFacts version={version} />
          </li>
        ))}
      </ul>
    </Panel>
  );
}

function VersionFacts({ version }: { readonly version: CalibrationVersion }) {
  const torque = useTorqueDisplay();
  const { supersededAt, supersedeReason } = version;
  return (
    <DataList label={version.label}>
      <DataRow name="Forward">{senseWords(version.forward, torque.unit, torque.format)}</DataRow>
      <DataRow name="Reverse">{senseWords(version.reverse, torque.unit, torque.format)}</DataRow>
      <DataRow name="Uncertainty" note="Static calibration; dynamic error not included">
        {uncertaintyWords(version.enteredUncertaintyPercent)}
      </DataRow>
      <DataRow name="From">{methodWords(version.method)}</DataRow>
      <DataRow name="Made">
        {formatDateTime(version.createdAt)}, {operatorWords(version.operator)}
      </DataRow>
      {version.note === '' ? null : <DataRow name="Note">{version.note}</DataRow>}
      {supersededAt === null ? null : (
        <DataRow name="Superseded">
          {formatDateTime(supersededAt)}: {supersedeReason ?? 'no reason stored'}
        </DataRow>
      )}
    </DataList>
  );
}
