import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { formatNumber, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import { DataList, DataRow } from '../ui/DataRow.tsx';
import { Panel } from '../ui/Panel.tsx';
import { DiagnosticBundlePart } from './raw-bytes/DiagnosticBundlePart.tsx';

export function AboutSection({ status }: { readonly status: BenchStatus }) {
  return (
    <Panel title="About">
      <DataList label="About this program">
        <DataRow name="Version">Proofarm {status.softwareVersion}</DataRow>
        <DataRow name="Runs in">
          {status.host === 'desktop'
            ? 'a desktop window'
            : 'a browser window, served by this computer to itself only'}
        </DataRow>
        <DataRow name="Data folder">
          <code className="setup-line">{status.dataFolder}</code>
        </DataRow>
        <DataRow name="Free on its disk" kind="figure">
          {formatNumber(status.storage.freeBytes / 1e9, 1)}
          {THIN_SPACE}GB
        </DataRow>
      </DataList>
      <p className="setup-aside">
        An aid, not a safety assessment: follow your local rules and the maker’s manual, and have the rig and
        the transducer checked by a competent person. The program cannot stop a tool.
      </p>
      <DiagnosticBundlePart amplifier={status.amplifier} />
    </Panel>
  );
}
