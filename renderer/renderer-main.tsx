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
createRoot(host).render(
  <ConnectionProvider connection={chooseConnection(window)}>
    <App />
  </ConnectionProvider>,
);
requestIdleCallback(fetchLaterPlaces);
