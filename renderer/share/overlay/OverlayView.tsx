import { useConnection, useLinkState } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import type { RequestParams } from '../../../shared-lib/api-contract.ts';
import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { Switch } from '../../ui/Toggles.tsx';
import { OverlayAddress } from './OverlayAddress.tsx';
import { layoutChoices, stateWords, themeChoices } from './overlay-words.ts';
import { OverlayPreview } from './OverlayPreview.tsx';
import { DelayField } from './DelayField.tsx';
import { SyncMarksPanel } from './SyncMarksPanel.tsx';
import './overlay-view.css';

/** The overlay for a capture program: its address, its looks, the sync mark. */
export function OverlayView() {
  const connection = useConnection();
  const isOpen = useLinkState() === 'open';
  const { result, error, reload } = useRequest('getOverlay', {}, 'overlayChanged');
  const action = useAction();
  const change = (changes: RequestParams<'setOverlay'>): void => {
    void action.run(() => connection.request('setOverlay', changes)).then(reload);
  };
  if (result === null) {
    return error === null ? (
      <p role="status">Asking how the overlay stands.</p>
    ) : (
      <>
        <FailureNotice error={error} />
        <div>
          <Button onPress={reload}>Ask again</Button>
        </div>
      </>
    );
  }
  const { settings, problem } = result;
  return (
    <div className="overlay-view">
      <div className="overlay-view-stage">
        <OverlayPreview look={settings} />
        <SyncMarksPanel />
      </div>
      <div className="overlay-view-choices">
        <Panel
          title="Overlay"
          lead="A page with a transparent ground for any capture program that takes a web page. It shows what the Bench shows, and a result only once its trial has been kept. Nothing can be changed through it."
        >
          <Switch
            isSelected={settings.isOn}
            onChange={(isOn) => change({ isOn })}
            isDisabled={!isOpen || action.isBusy}
          >
            Serve the overlay on this computer
          </Switch>
          <p role="status">{stateWords(result)}</p>
          {problem === null ? null : (
            <Notice
              kind="fault"
              live="alert"
              actions={<Button onPress={() => change({ isOn: true })}>Try again</Button>}
            >
              {problem}
            </Notice>
          )}
          <FailureNotice error={action.error} />
          <OverlayAddress state={result} onChange={change} />
        </Panel>
        <Panel title="How it looks">
          <ChoiceField
            label="It shows"
            choices={layoutChoices}
            selected={settings.layout}
            onSelect={(layout) => change({ layout })}
          />
          <ChoiceField
            label="Letters and lines"
            choices={themeChoices}
            selected={settings.theme}
            onSelect={(theme) => change({ theme })}
          />
          <DelayField
            key={settings.delayMs}
            delayMs={settings.delayMs}
            onChange={(delayMs) => change({ delayMs })}
          />
        </Panel>
      </div>
    </div>
  );
}
