import type { Exposure } from '../../../shared-lib/run-sheet/session-model.ts';
import { EXPOSURE_POINTS, exposureStateNames } from '../../../shared-lib/run-sheet/session-words.ts';
import { formatDuration, formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import '../../calibrate/figure-table.css';
import { Panel } from '../../ui/Panel.tsx';
import { StateShape } from '../../ui/StateShape.tsx';
import { exposureShape } from './exposure-shape.ts';

/** How long tools pulled, and what that adds to hands and ears; always with what it does not cover. */
export function SessionExposure({ exposure }: { readonly exposure: Exposure }) {
  const { triggerS, tools, points, a8Mps2, knownTriggerS, noiseLex8hDbA, state, sentences } = exposure;
  const shape = exposureShape(state);
  return (
    <Panel title="Trigger time, vibration and noise">
      {knownTriggerS === 0 ? null : (
        <p className="session-exposure-state">
          {shape === null ? null : <StateShape shape={shape} />}
          <strong>{exposureStateNames[state]}</strong>
        </p>
      )}
      {tools.length === 0 ? null : (
        <div className="figure-table-frame">
          <table className="figure-table">
            <caption>{EXPOSURE_POINTS}</caption>
            <thead>
              <tr>
                <th scope="col">Tool</th>
                {['Pulls', 'Trigger time', 'Vibration, m/s²', 'Points', 'Noise, dB(A)'].map((title) => (
                  <th key={title} scope="col" className="figure-table-number">
                    {title}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {tools.map((tool, index) => (
                <tr key={`${index} ${tool.toolName}`}>
                  <th scope="row">{tool.toolName}</th>
                  <td className="figure-table-number">{tool.pullCount}</td>
                  <td className="figure-table-number">{formatDuration(tool.triggerS, 0)}</td>
                  <td className="figure-table-number">{figure(tool.vibrationMps2, 1)}</td>
                  <td className="figure-table-number">{figure(tool.points, 1)}</td>
                  <td className="figure-table-number">{figure(tool.noiseDbA, 0)}</td>
                </tr>
              ))}
            </tbody>
            <tfoot>
              <tr>
                <th scope="row">All</th>
                <td className="figure-table-number">
                  {tools.reduce((sum, { pullCount }) => sum + pullCount, 0)}
                </td>
                <td className="figure-table-number">{formatDuration(triggerS, 0)}</td>
                <td className="figure-table-number">
                  {knownTriggerS === 0 ? '–' : `A(8) ${formatNumber(a8Mps2, 2)}`}
                </td>
                <td className="figure-table-number">{knownTriggerS === 0 ? '–' : formatNumber(points, 1)}</td>
                <td className="figure-table-number">
                  {noiseLex8hDbA === null ? '–' : `${formatNumber(noiseLex8hDbA, 1)} over 8${THIN_SPACE}h`}
                </td>
              </tr>
            </tfoot>
          </table>
        </div>
      )}
      <ul className="session-sentences">
        {sentences.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
    </Panel>
  );
}

function figure(value: number | null, decimals: number): string {
  return value === null ? 'not declared' : formatNumber(value, decimals);
}
