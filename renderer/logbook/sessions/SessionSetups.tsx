import type { QualityGate, SessionReport } from '../../../shared-lib/run-sheet/session-model.ts';
import { formatNumber, fromOwnUnit } from '../../../shared-lib/format-quantity.ts';
import { useSettings } from '../../api-client/ConnectionContext.tsx';
import '../../calibrate/figure-table.css';
import { useSaveSettings } from '../../setup/use-save-settings.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { gateNames, gateSentence, setupRow } from '../../../shared-lib/run-sheet/session-words.ts';

const gates: readonly QualityGate[] = ['goodOnly', 'goodAndLook', 'allKept'];

/** What each setup did in each step, with what was left out beside it. */
export function SessionSetups({ report: { setups, qualityGate } }: { readonly report: SessionReport }) {
  const torque = useTorqueDisplay();
  // A scatter is told to one more decimal than the values it scatters by.
  const formatScatter = (torqueNm: number) =>
    formatNumber(fromOwnUnit(torqueNm, torque.unit), torque.decimals + 1);
  const rows = setups.map((figures) => setupRow(figures, torque, formatScatter));
  return (
    <Panel title="Setups" lead={gateSentence(qualityGate)} actions={<GateChoice />}>
      {rows.length === 0 ? (
        <p>Nothing was pulled in this session.</p>
      ) : (
        <div className="figure-table-frame">
          <table className="figure-table">
            <caption>
              Sustained torque in {torque.unitLabel}; s: standard deviation (n − 1); interval of the mean by
              Student’s t.
            </caption>
            <thead>
              <tr>
                <th scope="col">Setup</th>
                <th scope="col">Step</th>
                {['n', 'Left out', 'Conditioning', 'Voided', `Mean, ${torque.unitLabel}`, 's'].map(
                  (title) => (
                    <th key={title} scope="col" className="figure-table-number">
                      {title}
                    </th>
                  ),
                )}
                <th scope="col" className="figure-table-number">
                  95 % interval
                </th>
              </tr>
            </thead>
            <tbody>
              {rows.map((row, index) => (
                <tr key={`${index} ${row.label} ${row.step}`}>
                  <th scope="row">
                    {row.label}
                    {row.remark === '' ? null : <span className="session-remark">{row.remark}</span>}
                  </th>
                  <td className="session-step">{row.step}</td>
                  <td className="figure-table-number">{row.count}</td>
                  <td className="figure-table-number">{row.leftOut}</td>
                  <td className="figure-table-number">{row.conditioning}</td>
                  <td className="figure-table-number">{row.voided}</td>
                  <td className="figure-table-number">
                    <strong>{row.mean}</strong>
                  </td>
                  <td className="figure-table-number">{row.deviation}</td>
                  <td className="figure-table-number">{row.interval}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </Panel>
  );
}

function GateChoice() {
  const settings = useSettings();
  const { save, error } = useSaveSettings();
  if (settings === null) return null;
  return (
    <div className="session-gate session-on-screen">
      <SelectField<QualityGate>
        label="Statistics take in"
        options={gates.map((key) => ({ key, label: gateNames[key] }))}
        selected={settings.qualityGate}
        onSelect={(qualityGate) => void save({ qualityGate })}
      />
      <FailureNotice error={error} />
    </div>
  );
}
