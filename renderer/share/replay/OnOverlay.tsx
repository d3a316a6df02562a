import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { shareAddress } from '../share-address.ts';

interface OnOverlayProps {
  readonly trialIds: readonly string[];
  readonly extent: { readonly fromS: number; readonly toS: number };
}

/** The same replay on the overlay; it ends by itself, or where a trial begins. */
export function OnOverlay({ trialIds, extent }: OnOverlayProps) {
  const connection = useConnection();
  const { result } = useRequest('getOverlay', {}, 'overlayChanged');
  const action = useAction();
  if (result === null) return null;
  return (
    <div className="share-save">
      <p className="ui-label">On the overlay</p>
      {result.url === null ? (
        <>
          <p className="ui-help">The overlay is off.</p>
          <LinkButton href={shareAddress('overlay', null)}>Go to the overlay</LinkButton>
        </>
      ) : result.shows === 'replay' ? (
        <Button
          isPending={action.isBusy}
          onPress={() => void action.run(() => connection.request('stopReplay', {}))}
        >
          Stop the replay on the overlay
        </Button>
      ) : (
        <Button
          isPending={action.isBusy}
          onPress={() => {
            const replay = { trialIds: [...trialIds], ...extent };
            void action.run(() => connection.request('playReplay', { replay }));
          }}
        >
          Play it on the overlay
        </Button>
      )}
      <FailureNotice error={action.error} />
    </div>
  );
}
