import { type ReactNode, Suspense, useEffect, useState } from 'react';
import { useLocation } from 'wouter';
import type { Settings } from '../../shared-lib/api-contract.ts';
import { useConnection, useSettings } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { SoundCues } from '../sound/SoundCues.tsx';
import { Button } from '../ui/Button.tsx';
import { Notice } from '../ui/Notice.tsx';
import { KeysDialog } from './later-parts.ts';
import { places } from './places.ts';
import { StatusLine } from './StatusLine.tsx';
import { applyTheme } from './theme.ts';
import { TopBar } from './TopBar.tsx';
import { useLetterKeys } from './use-letter-keys.ts';
import './frame.css';

/** What stands around every place: the places, units, theme, keys, and the status line. */
export function Frame({ children }: { readonly children: ReactNode }) {
  const connection = useConnection();
  const settings = useSettings();
  const [, navigate] = useLocation();
  const [areKeysShown, setAreKeysShown] = useState(false);
  const action = useAction();

  const theme = settings?.theme;
  useEffect(() => {
    if (theme !== undefined) applyTheme(theme);
  }, [theme]);

  const change = (part: Partial<Settings>): void => {
    void action.run(() => connection.request('updateSettings', part));
  };
  useLetterKeys({
    ...Object.fromEntries(places.map(({ address, key }) => [key, () => navigate(address)])),
    '?': () => setAreKeysShown(true),
    u: () => {
      if (settings !== null) change({ torqueUnit: settings.torqueUnit === 'Nm' ? 'ftLbf' : 'Nm' });
    },
  });

  return (
    <div className="frame">
      <TopBar settings={settings} onChange={change} onShowKeys={() => setAreKeysShown(true)} />
      <main className="frame-place">
        {action.error === null ? null : (
          <Notice
            kind="fault"
            live="alert"
            actions={
              <Button look="quiet" onPress={action.clearError}>
                Close
              </Button>
            }
          >
            {action.error.message}
          </Notice>
        )}
        {children}
      </main>
      <StatusLine />
      <Suspense>
        {areKeysShown ? <KeysDialog isOpen onClose={() => setAreKeysShown(false)} /> : null}
      </Suspense>
      <SoundCues />
    </div>
  );
}
