import { ExternalLink } from 'lucide-react';
import { AUDIENCE_ADDRESS } from '../audience/audience-address.ts';

/** For a second screen. The desktop window opens no other one, so there it is not offered. */
export function AudienceLink({ host }: { readonly host: 'desktop' | 'browser' }) {
  if (host === 'desktop') return null;
  return (
    <a className="bench-link" href={AUDIENCE_ADDRESS} target="_blank" rel="noopener">
      Audience view <ExternalLink aria-hidden="true" size={14} />
      <span className="visually-hidden"> (opens a new window)</span>
    </a>
  );
}
