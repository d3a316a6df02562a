import { Redirect, Route, Switch } from 'wouter';
import { CellPage } from './cell/CellPage.tsx';
import { EditionPage } from './editions/EditionPage.tsx';
import { EditionsPage } from './editions/EditionsPage.tsx';
import { ChangeTablePage, NewTablePage } from './form/TableFormPage.tsx';
import { StandingsOverview } from './overview/StandingsOverview.tsx';
import { SchemeEditorPage } from './schemes/SchemeEditorPage.tsx';
import { SchemesPage } from './schemes/SchemesPage.tsx';
import { SensitivityPage } from './sensitivity/SensitivityPage.tsx';
import { readAddressPart, standingsRoutes } from './standings-addresses.ts';
import './standings.css';
import { TablePage } from './table/TablePage.tsx';

/** Tools in order by rules that anybody can follow: tables, their cells, editions, schemes. */
export function StandingsPlace() {
  return (
    <Switch>
      <Route path={standingsRoutes.overview}>
        <StandingsOverview />
      </Route>
      <Route path={standingsRoutes.newTable}>
        <NewTablePage />
      </Route>
      <Route path={standingsRoutes.schemes}>
        <SchemesPage />
      </Route>
      <Route path={standingsRoutes.scheme}>
        {({ schemeId }) => <SchemeEditorPage schemeId={schemeId} />}
      </Route>
      <Route path={standingsRoutes.change}>{({ tableId }) => <ChangeTablePage tableId={tableId} />}</Route>
      <Route path={standingsRoutes.sensitivity}>
        {({ tableId }) => <SensitivityPage tableId={tableId} />}
      </Route>
      <Route path={standingsRoutes.editions}>{({ tableId }) => <EditionsPage tableId={tableId} />}</Route>
      <Route path={standingsRoutes.edition}>
        {({ tableId, editionId }) => <EditionPage tableId={tableId} editionId={editionId} />}
      </Route>
      <Route path={standingsRoutes.cell}>
        {({ tableId, key, termId }) => (
          <CellPage tableId={tableId} contenderKey={readAddressPart(key)} termId={readAddressPart(termId)} />
        )}
      </Route>
      <Route path={standingsRoutes.table}>{({ tableId }) => <TablePage tableId={tableId} />}</Route>
      <Route>
        <Redirect to={standingsRoutes.overview} replace />
      </Route>
    </Switch>
  );
}
