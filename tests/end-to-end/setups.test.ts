import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { WebSocketConnection } from '../../renderer/api-client/websocket-connection.ts';
import { axeComplaints } from '../helpers/axe-complaints.ts';
import { connectToProgram } from '../helpers/connect-to-program.ts';
import { useProgramInBrowser } from '../helpers/program-in-browser.ts';
import { openPage } from '../helpers/browser-page.ts';
import {
  brindlow,
  brindlowSetup,
  draft,
  hollin,
  hollinSetup,
  pack1,
  pack2,
  putInItemsFrom,
} from '../helpers/run-sheet-fixture.ts';

const running = useProgramInBrowser();
let connection: WebSocketConnection;

beforeAll(async () => {
  connection = connectToProgram(running.program.url);
  await putInItemsFrom(connection);
  await connection.request('makeRunSheet', { draft: draft({ setupIds: [hollinSetup.id] }) });
});
afterAll(() => connection.close());

const setupsOf = async (toolId: string) =>
  (await connection.request('listBenchItems', {})).setups.filter((setup) => setup.toolId === toolId);

describe('the dialog of a setup', () => {
  it('says that a run sheet asks for it, and saves another pack as another setup', async () => {
    const url = new URL(running.program.url);
    url.pathname = '/bench/items';
    const { page, complaints } = await openPage(running.browser, url.href);
    const button = (name: string) => page.getByRole('button', { name, exact: true });
    const choosePack = async (name: string) => {
      await page.getByRole('button', { name: /Pack$/ }).click();
      await page.getByRole('option', { name, exact: true }).click();
    };

    // More of the same socket is said of the same setup.
    await button('Change Hollin H5 (demo), Pack 1').click();
    await page.getByText(/^The open run sheet “Two tools” asks for this setup\. With another tool/).waitFor();
    await page.getByRole('textbox', { name: 'Its mass' }).fill('320 g');
    await button('Save').click();
    await page.getByText(/^Socket 24 mm \(0\.32\skg/).waitFor();
    const weighed = { ...hollinSetup, socket: { ...hollinSetup.socket, massKg: 0.32 } };
    expect(await setupsOf(hollin.id)).toEqual([weighed]);

    await button('Change Hollin H5 (demo), Pack 1').click();
    await choosePack('Pack 2');
    expect(await axeComplaints(page)).toEqual([]);
    await button('Save as another setup').click();
    await button('Change Hollin H5 (demo), Pack 2').waitFor();
    const [kept, other] = await setupsOf(hollin.id);
    expect(kept).toEqual(weighed);
    expect(other).toMatchObject({ packId: pack2.id, setting: '', socket: weighed.socket });

    // Nothing goes by the other tool's setup yet.
    await button('Change Brindlow B4 (demo), Pack 2').click();
    await choosePack('Pack 1');
    await button('Save').click();
    await button('Change Brindlow B4 (demo), Pack 1').waitFor();
    expect(await setupsOf(brindlow.id)).toEqual([{ ...brindlowSetup, packId: pack1.id }]);
    expect(complaints).toEqual([]);
    await page.close();
  });
});
