import { BenchStore } from './api-client/bench-store.ts';
import { chooseConnection } from './api-client/choose-connection.ts';
import { applyRememberedTheme } from './frame/theme.ts';
import './tokens.css';
import './base.css';
import './print.css';

// This script is small and waits for nothing, so that the services are asked, and answer, while the browser reads the rest of the page.
const store = new BenchStore(chooseConnection(window));
store.start();
applyRememberedTheme();
// After a restore everything in sight is of data that are gone.
store.connection.subscribe('dataReplaced', () => location.reload());
// Not awaited here: what is drawn imports this script's parts, which would wait for it in turn.
void import('./first-picture.tsx').then(({ showFirstPicture }) => showFirstPicture(store));
