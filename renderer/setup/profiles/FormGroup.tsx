import { type ReactNode, useId } from 'react';
import { FieldGrid } from '../../ui/Panel.tsx';

interface FormGroupProps {
  readonly title: string;
  readonly lead?: string;
  readonly children: ReactNode;
}

/** Fields of a long form that belong together. */
export function FormGroup({ title, lead, children }: FormGroupProps) {
  const titleId = useId();
  return (
    <div className="profile-group" role="group" aria-labelledby={titleId}>
      <h4 id={titleId}>{title}</h4>
      {lead === undefined ? null : <p className="setup-aside">{lead}</p>}
      <FieldGrid>{children}</FieldGrid>
    </div>
  );
}
