import { Redirect, Route, Switch } from 'wouter';
import '../calibrate/figure-table.css';
import { ImportPage } from './exchange/ImportPage.tsx';
import { ToolListPage } from './list/ToolListPage.tsx';
import { RatesPage } from './rates/RatesPage.tsx';
import { NewToolPage } from './tool/NewToolPage.tsx';
import { ToolPage } from './tool/ToolPage.tsx';
import './tools.css';
import { toolsAddresses } from './tools-addresses.ts';

/** What is known of the tools: who makes them, what is claimed, what they cost, how they feel in the hand. */
export function ToolsPlace() {
  return (
    <Switch>
      <Route path={toolsAddresses.list}>
        <ToolListPage />
      </Route>
      <Route path={toolsAddresses.newTool}>
        <NewToolPage />
      </Route>
      <Route path={toolsAddresses.import}>
        <ImportPage />
      </Route>
      <Route path={toolsAddresses.rates}>
        <RatesPage />
      </Route>
      <Route path="/tools/:toolId">{({ toolId }) => <ToolPage key={toolId} toolId={toolId} />}</Route>
      <Route>
        <Redirect to={toolsAddresses.list} replace />
      </Route>
    </Switch>
  );
}
