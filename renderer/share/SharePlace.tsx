import { Redirect, Route, Switch, useSearch } from 'wouter';
import { Page } from '../ui/Panel.tsx';
import { BringInView } from './bring-in/BringInView.tsx';
import { ChartView } from './chart/ChartView.tsx';
import { DataView } from './data/DataView.tsx';
import { OverlayView } from './overlay/OverlayView.tsx';
import { ReplayView } from './replay/ReplayView.tsx';
import { ReportView } from './report/ReportView.tsx';
import { SHARE_ADDRESS, shareViews, type ShareView } from './share-address.ts';
import './share.css';
import { ShareNav } from './ShareNav.tsx';
import { WithSubject } from './subject/WithSubject.tsx';

/** What others get to see, previewed as it will be: pictures, reports, data, replays, the overlay; and what comes from others. */
export function SharePlace() {
  const search = useSearch();
  return (
    <Switch>
      {shareViews.map((view) => (
        <Route key={view} path={`${SHARE_ADDRESS}/${view}`}>
          <Page title="Share" actions={<ShareNav view={view} search={search} />}>
            <View view={view} />
          </Page>
        </Route>
      ))}
      <Route>
        <Redirect to={`${SHARE_ADDRESS}/chart${search === '' ? '' : `?${search}`}`} replace />
      </Route>
    </Switch>
  );
}

function View({ view }: { readonly view: ShareView }) {
  switch (view) {
    case 'chart':
      return <WithSubject>{(shown) => <ChartView {...shown} />}</WithSubject>;
    case 'report':
      return <WithSubject>{(shown) => <ReportView {...shown} />}</WithSubject>;
    case 'data':
      return <WithSubject>{(shown) => <DataView {...shown} />}</WithSubject>;
    case 'replay':
      return <WithSubject>{({ subject }) => <ReplayView subject={subject} />}</WithSubject>;
    case 'overlay':
      return <OverlayView />;
    case 'bring-in':
      return <BringInView />;
  }
}
