import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { formatNumber, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import { NO_SAFETY_ASSESSMENT, PROGRAM_CANNOT_STOP } from '../../shared-lib/trial/words/safety-words.ts';
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
        {NO_SAFETY_ASSESSMENT} {PROGRAM_CANNOT_STOP}
      </p>
      <DiagnosticBundlePart amplifier={status.amplifier} />
    </Panel>
  );
}
