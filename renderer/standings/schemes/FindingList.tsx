import type { SchemeFinding } from '../../../shared-lib/standings/scheme-model.ts';
import { StateShape, type StateShapeName } from '../../ui/StateShape.tsx';
import '../../ui/state-shape.css';

const shapes: Readonly<Record<SchemeFinding['severity'], StateShapeName>> = {
  stop: 'fault',
  caution: 'caution',
  note: 'information',
};
const words: Readonly<Record<SchemeFinding['severity'], string>> = {
  stop: 'Cannot be saved',
  caution: 'Caution',
  note: 'Note',
};

/** What speaks against a term or a scheme, beside it; spoken once it appears. */
export function FindingList({
  label,
  findings,
}: {
  readonly label: string;
  readonly findings: readonly SchemeFinding[];
}) {
  return (
    <div role="status" aria-label={label} className="scheme-findings">
      {findings.map(({ severity, sentence }) => (
        <p key={sentence} className="scheme-finding">
          <StateShape shape={shapes[severity]} />
          <span>
            <strong>{words[severity]}.</strong> {sentence}
          </span>
        </p>
      ))}
    </div>
  );
}
