import { useEffect, useState } from 'react';
import type { CaptureSummary } from '../../../shared-lib/api-contract.ts';
import type { AmplifierStatus, BenchStatus } from '../../../shared-lib/bench-status.ts';
import { formatDuration } from '../../../shared-lib/format-quantity.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { AmplifierFacts } from '../AmplifierFacts.tsx';
import { captureFacts, captureObstacle, formatBytes } from './capture-sentences.ts';
import './raw-bytes.css';

/** Captures of the port's bytes: what an amplifier really sent can be looked at again, and by others. */
export function RawBytesSection({ status }: { readonly status: BenchStatus }) {
  const { result, error, reload } = useRequest('listCaptures', {});
  const { amplifier } = status;
  const isCapturing = amplifier.capture !== null;
  // A capture may also end by itself, with its port.
  useEffect(reload, [reload, isCapturing]);
  const captures = result?.captures ?? [];
  return (
    <Panel
      title="Raw bytes"
      lead="The bytes of the port can be captured into a file of the data folder, as they come, and replayed later as if the amplifier were there: for finding a fault without it."
    >
      <CaptureControl amplifier={amplifier} />
      <FailureNotice error={error} />
      {captures.length === 0 ? (
        <p className="setup-aside">No capture yet.</p>
      ) : (
        <ul className="setup-kept" aria-label="Captures">
          {captures.map((capture) => (
            <CaptureRow key={capture.fileName} capture={capture} amplifier={amplifier} />
          ))}
        </ul>
      )}
      {amplifier.source === 'replayed' ? <AmplifierFacts amplifier={amplifier} /> : null}
    </Panel>
  );
}

function CaptureControl({ amplifier }: { readonly amplifier: AmplifierStatus }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const { capture } = amplifier;
  const obstacle = captureObstacle(amplifier);
  return (
    <>
      <ActionRow>
        {/* One button in one place: the focus stays on it. */}
        <Button
          isPending={isBusy}
          isDisabled={capture === null && obstacle !== null}
          onPress={() =>
            void run(() =>
              capture === null
                ? connection.request('startCapture', {})
                : connection.request('stopCapture', {}),
            )
          }
        >
          {capture === null ? 'Start a capture' : 'Stop the capture'}
        </Button>
        {capture === null ? (
          obstacle === null ? null : (
            <span className="setup-aside">{obstacle}</span>
          )
        ) : (
          <CaptureProgress capture={capture} />
        )}
      </ActionRow>
      <FailureNotice error={error} />
      {amplifier.captureProblem === null ? null : (
        <Notice kind="caution" live="status">
          {amplifier.captureProblem.sentence}
        </Notice>
      )}
    </>
  );
}

function CaptureProgress({ capture }: { readonly capture: NonNullable<AmplifierStatus['capture']> }) {
  const [nowMs, setNowMs] = useState(() => Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNowMs(Date.now()), 1000);
    return () => clearInterval(timer);
  }, []);
  const elapsedS = Math.max(0, (nowMs - Date.parse(capture.startedAt)) / 1000);
  return (
    <span>
      Capturing into <code className="setup-line">{capture.fileName}</code>: {formatBytes(capture.bytes)} in{' '}
      {formatDuration(elapsedS, 0)}
    </span>
  );
}

interface CaptureRowProps {
  readonly capture: CaptureSummary;
  readonly amplifier: AmplifierStatus;
}

function CaptureRow({ capture, amplifier }: CaptureRowProps) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const { fileName } = capture;
  const isReplayed = amplifier.link !== 'disconnected' && amplifier.replayedFile === fileName;
  return (
    <li>
      <div className="setup-kept-text">
        <p>
          <code className="setup-line">{fileName}</code>
        </p>
        <p className="setup-aside">{captureFacts(capture)}</p>
      </div>
      <Button
        isPending={isBusy}
        aria-label={isReplayed ? `End the replay of ${fileName}` : `Replay ${fileName}`}
        onPress={() =>
          void run(() =>
            isReplayed
              ? connection.request('disconnectAmplifier', {})
              : connection.request('replayCapture', { fileName }),
          )
        }
      >
        {isReplayed ? 'End the replay' : 'Replay'}
      </Button>
      <FailureNotice error={error} />
    </li>
  );
}
