import './forbid-evaluation.ts';
import { createRoot } from 'react-dom/client';
import { chooseConnection } from './api-client/choose-connection.ts';
import { ConnectionProvider } from './api-client/ConnectionContext.tsx';
import { App } from './App.tsx';
import './base.css';
import { applyRememberedTheme } from './frame/theme.ts';
import { fetchLaterPlaces } from './later-places.ts';
import './tokens.css';
import './print.css';

applyRememberedTheme();
const host = document.getElementById('app');
if (host === null) throw new Error('The page has no place for the app.');
const connection = chooseConnection(window);
// After a restore everything in sight is of data that are gone.
connection.subscribe('dataReplaced', () => location.reload());
createRoot(host).render(
  <ConnectionProvider connection={connection}>
    <App />
  </ConnectionProvider>,
);
requestIdleCallback(fetchLaterPlaces);
