import type { Finding } from '../../../shared-lib/calibration/result-model.ts';
import { StateShape, type StateShapeName } from '../../ui/StateShape.tsx';
import '../../ui/state-shape.css';
import './result.css';
import {
  rankFindings,
  senseTitles,
  severityWords,
} from '../../../shared-lib/calibration/words/result-sentences.ts';

const shapes = { stop: 'fault', look: 'caution', note: 'information' } as const satisfies Record<
  Finding['severity'],
  StateShapeName
>;

export interface FindingsListProps {
  readonly findings: readonly Finding[];
  readonly label: string;
}

/** What speaks against it, the worst first; nothing where nothing does. */
export function FindingsList({ findings, label }: FindingsListProps) {
  if (findings.length === 0) return null;
  return (
    <ul className="calibrate-findings" aria-label={label}>
      {rankFindings(findings).map(({ code, severity, sense, sentence }, place) => (
        <li key={`${code} ${place}`} className={`calibrate-finding calibrate-finding-${severity}`}>
          <StateShape shape={shapes[severity]} />
          <p>
            <strong>{severityWords[severity]}</strong> {sense === null ? '' : `${senseTitles[sense]}: `}
            {sentence}
          </p>
        </li>
      ))}
    </ul>
  );
}
