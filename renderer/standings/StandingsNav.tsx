import { ShareLink } from '../share/ShareLink.tsx';
import { LinkButton } from '../ui/LinkButton.tsx';
import {
  changeAddress,
  editionsAddress,
  newTableAddress,
  schemeAddress,
  sensitivityAddress,
  standingsRoutes,
  tableAddress,
} from './standings-addresses.ts';

/** What can be done with one table. */
export function TableLinks({ tableId, schemeId }: { readonly tableId: string; readonly schemeId: string }) {
  return (
    <>
      <LinkButton href={editionsAddress(tableId)}>Editions</LinkButton>
      <LinkButton href={sensitivityAddress(tableId)}>How firm is the order?</LinkButton>
      <LinkButton href={schemeAddress(schemeId, { tableId })}>Its rules</LinkButton>
      <LinkButton href={changeAddress(tableId)}>Change this table</LinkButton>
      <ShareLink subject={{ kind: 'standings', tableId }} of="this table" />
    </>
  );
}

/** Beside a table: the other pages of the place. `isOnly`: there is one table, which stands on the first page itself. */
export function PlaceLinks({ isOnly }: { readonly isOnly: boolean }) {
  return (
    <>
      {isOnly ? null : (
        <LinkButton href={standingsRoutes.overview} look="quiet">
          All tables
        </LinkButton>
      )}
      <LinkButton href={standingsRoutes.schemes} look="quiet">
        Schemes
      </LinkButton>
      <LinkButton href={newTableAddress()} look="quiet">
        New table
      </LinkButton>
    </>
  );
}

export function BackToTable({ tableId }: { readonly tableId: string }) {
  return (
    <LinkButton href={tableAddress(tableId)} look="quiet">
      Back to the table
    </LinkButton>
  );
}
