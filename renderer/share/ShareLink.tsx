import type { Subject } from '../../shared-lib/publishing/publishing-model.ts';
import { LinkButton } from '../ui/LinkButton.tsx';
import { shareAddress } from './share-address.ts';

interface ShareLinkProps {
  readonly subject: Subject;
  /** For those who hear a list of links: "of this edition". */
  readonly of?: string;
  /** Where there is no chart of it. */
  readonly view?: 'chart' | 'report';
}

/** From where something is shown to where it is published. */
export function ShareLink({ subject, of, view = 'chart' }: ShareLinkProps) {
  return (
    <LinkButton href={shareAddress(view, subject)}>
      Share{of === undefined ? null : <span className="visually-hidden"> {of}</span>}
    </LinkButton>
  );
}
