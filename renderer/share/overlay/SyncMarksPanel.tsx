import { THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { SyncMark } from '../../../shared-lib/overlay/overlay-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { useReloadOn } from '../../compare/use-reload-on.ts';
import { Button } from '../../ui/Button.tsx';
import { formatTrialTime } from '../../ui/date-time.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { afterWords } from './overlay-words.ts';

const outdatedBy = ['trialsChanged', 'syncMarkGiven'] as const;

/** A flash and a tone that tie a camera to the curves, and what each of them says of the trials of its session. */
export function SyncMarksPanel() {
  const connection = useConnection();
  const action = useAction();
  const { result, error, reload } = useRequest('listSyncMarks', {});
  useReloadOn(outdatedBy, reload);
  const marks = result?.marks ?? [];
  return (
    <Panel
      title="Sync mark"
      lead="Every window and every overlay turns white for a fifth of a second and sounds a tone at the same instant. With a screen in the camera’s picture, or its tone in the recording, the frame in which it turns white is the zero of the times below."
      actions={
        <Button
          isPending={action.isBusy}
          onPress={() => {
            void action.run(() => connection.request('giveSyncMark', {})).then(reload);
          }}
        >
          Give a sync mark
        </Button>
      }
    >
      <FailureNotice error={action.error} />
      <FailureNotice error={error} />
      {result !== null && marks.length === 0 ? (
        <p>None yet. Give one while the camera runs, before the pulls or after them.</p>
      ) : null}
      {marks.some(({ onsets }) => onsets.length > 0) ? (
        <p className="ui-help">
          Onset is where the curve of a trial has its zero. A sudden torque begins up to 50{THIN_SPACE}ms
          after it, half the time over which the curve is averaged.
        </p>
      ) : null}
      <ol className="sync-marks">
        {marks.map((mark, index) => (
          <li key={mark.id}>
            <Mark mark={mark} isOpen={index === 0} />
          </li>
        ))}
      </ol>
    </Panel>
  );
}

function Mark({
  mark: { at, onsets, sessionId },
  isOpen,
}: {
  readonly mark: SyncMark;
  readonly isOpen: boolean;
}) {
  return (
    <details className="sync-mark" open={isOpen}>
      <summary>
        {formatTrialTime(at)}
        <span className="share-soft">{countWords(onsets.length)}</span>
      </summary>
      {onsets.length === 0 ? (
        <p>
          {sessionId === null
            ? 'Given before the first pull of a session. Its trials are listed here as they end.'
            : 'No trial of its session has ended yet; those that come are listed here.'}
        </p>
      ) : (
        <table className="sync-mark-onsets">
          <thead>
            <tr>
              <th scope="col">Onset after the mark</th>
              <th scope="col">Trial</th>
              <th scope="col">
                <span className="visually-hidden">Where it is</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {onsets.map(({ trialId, toolName, afterS }) => (
              <tr key={trialId}>
                <td>{afterWords(afterS)}</td>
                <td>{toolName}</td>
                <td>
                  <LinkButton href={`/logbook/${trialId}`} look="quiet">
                    Open the trial
                  </LinkButton>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </details>
  );
}

function countWords(count: number): string {
  if (count === 0) return 'no trial yet';
  return count === 1 ? 'one trial of its session' : `${count} trials of its session`;
}
