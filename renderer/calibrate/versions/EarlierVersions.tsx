import type { CalibrationVersion } from '../../../shared-lib/calibration/calibration-model.ts';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { compareAddress, reportAddress } from '../calibrate-addresses.ts';
import { VersionFacts } from './VersionFacts.tsx';

interface EarlierVersionsProps {
  readonly versions: readonly CalibrationVersion[];
  /** The one in use, to compare with; null: none is. */
  readonly activeId: string | null;
}

export function EarlierVersions({ versions, activeId }: EarlierVersionsProps) {
  if (versions.length === 0) return null;
  return (
    <Panel title="Earlier versions" lead="Never changed: trials stay with the version they were made with.">
      <ul className="calibrate-versions">
        {versions.map((version) => (
          <li key={version.id}>
            <div className="calibrate-version-head">
              <h3>
                {version.label}
                {version.method === 'simulated' ? <span className="calibrate-mark">simulated</span> : null}
              </h3>
              <ActionRow>
                <LinkButton href={reportAddress(version.id)}>
                  Report<span className="visually-hidden"> of {version.label}</span>
                </LinkButton>
                {activeId === null ? null : (
                  <LinkButton href={compareAddress(version.id, activeId)}>
                    Compare with the one in use<span className="visually-hidden">: {version.label}</span>
                  </LinkButton>
                )}
              </ActionRow>
            </div>
            <VersionFacts version={version} />
          </li>
        ))}
      </ul>
    </Panel>
  );
}
