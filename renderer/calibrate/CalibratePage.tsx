import { Redirect, Route, Switch } from 'wouter';
import './calibrate.css';
import { ByHandPage } from './ByHandPage.tsx';
import { CalibrateOverview } from './CalibrateOverview.tsx';
import { calibrateAddresses } from './calibrate-addresses.ts';
import { CheckPage } from './check/CheckPage.tsx';
import { ReportPage } from './report/ReportPage.tsx';
import { RingingPage } from './ringing/RingingPage.tsx';
import { GuidedRun } from './run/GuidedRun.tsx';
import { StandardsPanel } from './standards/StandardsPanel.tsx';
import { SubPage } from './SubPage.tsx';
import { ComparePage } from './versions/ComparePage.tsx';

/** Each part of Calibrate has an address of its own, so that back, reload and a bookmark find it again. */
export function CalibratePage() {
  return (
    <Switch>
      <Route path={calibrateAddresses.overview}>
        <CalibrateOverview />
      </Route>
      <Route path={calibrateAddresses.run}>
        <SubPage title="Guided calibration">
          <GuidedRun />
        </SubPage>
      </Route>
      <Route path={calibrateAddresses.byHand}>
        <ByHandPage />
      </Route>
      <Route path={calibrateAddresses.standards}>
        <SubPage title="Weights, arms and places">
          <StandardsPanel />
        </SubPage>
      </Route>
      <Route path={calibrateAddresses.check}>
        <CheckPage />
      </Route>
      <Route path={calibrateAddresses.ringing}>
        <RingingPage />
      </Route>
      <Route path={calibrateAddresses.compare}>
        <ComparePage />
      </Route>
      <Route path="/calibrate/report/:calibrationId">
        {({ calibrationId }) => <ReportPage calibrationId={calibrationId} />}
      </Route>
      <Route>
        <Redirect to={calibrateAddresses.overview} replace />
      </Route>
    </Switch>
  );
}
