import { Redirect, Route, Switch } from 'wouter';
import { ItemsPage } from './items/ItemsPage.tsx';
import { NewRunSheetPage } from './NewRunSheetPage.tsx';
import { PlansPage } from './plans/PlansPage.tsx';
import { runSheetAddresses } from './run-sheet-addresses.ts';
import { RunSheetPage } from './RunSheetPage.tsx';
import { RunSheetsPage } from './RunSheetsPage.tsx';
import './run-sheet.css';

/** What is prepared at the desk before a day at the bench: setups, plans and run sheets. */
export function RunSheetPlace() {
  return (
    <Switch>
      <Route path={runSheetAddresses.sheets}>
        <RunSheetsPage />
      </Route>
      <Route path={runSheetAddresses.newSheet}>
        <NewRunSheetPage />
      </Route>
      <Route path="/bench/sheets/:runSheetId">
        {({ runSheetId }) => <RunSheetPage runSheetId={runSheetId} />}
      </Route>
      <Route path={runSheetAddresses.items}>
        <ItemsPage />
      </Route>
      <Route path={runSheetAddresses.plans}>
        <PlansPage />
      </Route>
      <Route>
        <Redirect to="/bench" replace />
      </Route>
    </Switch>
  );
}
