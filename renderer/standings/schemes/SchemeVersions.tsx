import type { SchemeVersion } from '../../../shared-lib/standings/scheme-model.ts';
import { operatorWords } from '../../../shared-lib/calibration/words/calibration-sentences.ts';
import { Button } from '../../ui/Button.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { Panel } from '../../ui/Panel.tsx';
import {
  type SchemeWords,
  versionDifferences,
  versionWords,
} from '../../../shared-lib/standings/words/scheme-sentences.ts';

interface SchemeVersionsProps {
  /** Newest first. */
  readonly versions: readonly SchemeVersion[];
  readonly isReadyMade: boolean;
  readonly words: SchemeWords;
  readonly onTake: (version: SchemeVersion) => void;
}

/** What the rules were before, and what each version has other than the one before it. */
export function SchemeVersions({ versions, isReadyMade, words, onTake }: SchemeVersionsProps) {
  if (versions.length === 0) return null;
  return (
    <Panel
      title="Versions"
      lead="A version is never edited: a change is the next one, and editions keep the one that they were frozen with."
    >
      <ul className="standings-list" aria-label="Versions">
        {versions.map((version, index) => {
          const older = versions[index + 1];
          const differences = older === undefined ? [] : versionDifferences(older, version, words);
          return (
            <li key={version.version} className="standings-item">
              <div className="standings-item-row">
                <p>
                  <strong>{versionWords(version)}</strong>
                  <span className="standings-soft">
                    {isReadyMade
                      ? ', ready-made'
                      : `, ${formatDateTime(version.createdAt)}, ${operatorWords(version.operator)}`}
                  </span>
                </p>
                <Button
                  look="quiet"
                  aria-label={`Put ${versionWords(version).toLowerCase()} into the form`}
                  onPress={() => onTake(version)}
                >
                  Put it into the form
                </Button>
              </div>
              {version.note === '' ? null : <p className="standings-text">{version.note}</p>}
              {older === undefined ? null : (
                <ul className="standings-sentences">
                  {(differences.length === 0 ? ['Only the note is another.'] : differences).map(
                    (sentence) => (
                      <li key={sentence}>{sentence}</li>
                    ),
                  )}
                </ul>
              )}
            </li>
          );
        })}
      </ul>
    </Panel>
  );
}
