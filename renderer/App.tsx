import { Suspense } from 'react';
import { Redirect, Route, Switch, useLocation } from 'wouter';
import { AUDIENCE_ADDRESS } from './audience/audience-address.ts';
import { AudiencePage } from './audience/AudiencePage.tsx';
import { BenchPage } from './bench/BenchPage.tsx';
import { Frame } from './frame/Frame.tsx';
import { PlaceErrorBoundary } from './frame/PlaceErrorBoundary.tsx';
import { LiveFeedProvider } from './live-curve/LiveFeedContext.tsx';
import { SyncFlash } from './share/overlay/SyncFlash.tsx';
import {
  BackupsPage,
  CalibratePage,
  ComparePlace,
  LogbookPage,
  ReassignPage,
  RunSheetPlace,
  SessionPage,
  SessionsPage,
  SetupPage,
  SharePlace,
  StandingsPlace,
  ToolsPlace,
  TrialPage,
} from './later-places.ts';
import { BACKUPS_ADDRESS } from './setup/backup/backups-address.ts';

/** The places at their addresses; anything else leads to the Bench. Stands inside a ConnectionProvider. */
export function App() {
  const [address] = useLocation();
  if (address === AUDIENCE_ADDRESS) {
    return (
      <LiveFeedProvider>
        <PlaceErrorBoundary>
          <AudiencePage />
        </PlaceErrorBoundary>
        <SyncFlash />
      </LiveFeedProvider>
    );
  }
  return (
    <LiveFeedProvider>
      <Frame>
        <PlaceErrorBoundary key={address}>
          <Suspense>
            <Switch>
              <Route path="/bench">
                <BenchPage />
              </Route>
              <Route path="/bench/*">
                <RunSheetPlace />
              </Route>
              <Route path="/calibrate/*?">
                <CalibratePage />
              </Route>
              <Route path="/logbook">
                <LogbookPage />
              </Route>
              <Route path="/logbook/reassign">
                <ReassignPage />
              </Route>
              <Route path="/logbook/sessions">
                <SessionsPage />
              </Route>
              <Route path="/logbook/sessions/:sessionId">
                {({ sessionId }) => <SessionPage sessionId={sessionId} />}
              </Route>
              <Route path="/logbook/:trialId">{({ trialId }) => <TrialPage trialId={trialId} />}</Route>
              <Route path="/compare/*?">
                <ComparePlace />
              </Route>
              <Route path="/tools/*?">
                <ToolsPlace />
              </Route>
              <Route path="/standings/*?">
                <StandingsPlace />
              </Route>
              <Route path="/share/*?">
                <SharePlace />
              </Route>
              <Route path={BACKUPS_ADDRESS}>
                <BackupsPage />
              </Route>
              <Route path="/setup">
                <SetupPage />
              </Route>
              <Route>
                <Redirect to="/bench" replace />
              </Route>
            </Switch>
          </Suspense>
        </PlaceErrorBoundary>
      </Frame>
      <SyncFlash />
    </LiveFeedProvider>
  );
}
