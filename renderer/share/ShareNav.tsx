import { Link } from 'wouter';
import { type ShareView, shareViews } from './share-address.ts';

const names: Record<ShareView, string> = {
  chart: 'Chart',
  report: 'Report',
  data: 'Data',
  replay: 'Replay',
  overlay: 'Overlay',
  'bring-in': 'Bring in',
};

interface ShareNavProps {
  readonly view: ShareView;
  /** Of the address: what was chosen in one view holds in the others. */
  readonly search: string;
}

/** The views of Share, each a link of its own. */
export function ShareNav({ view, search }: ShareNavProps) {
  const chosen = search === '' ? '' : `?${search}`;
  return (
    <nav className="share-nav" aria-label="What is made">
      {shareViews.map((one) => (
        <Link
          key={one}
          href={`/share/${one}${chosen}`}
          className="share-tab"
          {...(one === view ? { 'aria-current': 'page' as const } : {})}
        >
          {names[one]}
        </Link>
      ))}
    </nav>
  );
}
