import { useEffect, useEffectEvent, useRef, useState } from 'react';
import type { OverlaySettings } from '../../../shared-lib/overlay/overlay-model.ts';
import { createOverlayTeller } from '../../../shared-lib/overlay/overlay-teller.ts';
import { useConnection, useSettings, useStatus } from '../../api-client/ConnectionContext.tsx';
import { useHandlingQuestion } from '../../bench/handling/use-handling-question.ts';
import { OverlayScreen } from '../../overlay/overlay-screen.ts';
import { WaitingFrames } from '../../overlay/shown-frames.ts';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { exampleCurve, exampleRun } from './example-run.ts';

const groundChoices = [
  { key: 'chequer', label: 'Chequer' },
  { key: 'bright', label: 'Bright' },
  { key: 'dark', label: 'Dark' },
] as const;
type Ground = (typeof groundChoices)[number]['key'];

const contentChoices = [
  { key: 'example', label: 'An example' },
  { key: 'bench', label: 'The bench now' },
] as const;
type Content = (typeof contentChoices)[number]['key'];

interface OverlayPreviewProps {
  readonly look: Pick<OverlaySettings, 'layout' | 'theme'>;
}

/** The overlay as a capture program will lay it over a picture, by the same code, over grounds that are hard to read on. */
export function OverlayPreview({ look }: OverlayPreviewProps) {
  const [ground, setGround] = useState<Ground>('chequer');
  const [content, setContent] = useState<Content>('example');
  return (
    <div className="overlay-preview">
      <div className="overlay-preview-stage" data-ground={ground}>
        {content === 'example' ? <ExampleScreen look={look} /> : <BenchScreen look={look} />}
      </div>
      <div className="overlay-preview-choices">
        <ChoiceField label="Test ground" choices={groundChoices} selected={ground} onSelect={setGround} />
        <ChoiceField label="It shows" choices={contentChoices} selected={content} onSelect={setContent} />
      </div>
    </div>
  );
}

function ExampleScreen({ look }: OverlayPreviewProps) {
  const unit = useSettings()?.torqueUnit ?? 'Nm';
  const { hostRef, screen } = useScreen(look);
  useEffect(() => {
    screen?.showRun(exampleRun(unit));
  }, [screen, unit]);
  useEffect(() => {
    screen?.showPoints(exampleCurve());
  }, [screen]);
  return (
    <div
      className="overlay-preview-box"
      ref={hostRef}
      role="img"
      aria-label="The overlay with an invented run of Hollin H5 (demo), 5 s forward: its name, its sustained torque and its curve"
    />
  );
}

/** The newest of the bench, without the delay of the overlay. */
function BenchScreen({ look }: OverlayPreviewProps) {
  const connection = useConnection();
  const status = useStatus();
  const torqueUnit = useSettings()?.torqueUnit ?? 'Nm';
  const isHeldBack = useHandlingQuestion(status).state !== 'none';
  const { hostRef, screen } = useScreen(look);
  const teller = useRef<ReturnType<typeof createOverlayTeller> | null>(null);
  const tellStatus = useEffectEvent(() => {
    if (status === null) return;
    teller.current?.takeStatus(
      status,
      { torqueUnit, isHeldBack: () => isHeldBack },
      performance.now() * 1000,
    );
  });

  useEffect(() => {
    if (screen === null) return undefined;
    const waiting = new WaitingFrames(screen);
    teller.current = createOverlayTeller((frame) => {
      if (frame.kind === 'run' || frame.kind === 'samples') waiting.take(frame);
      waiting.showUntil(Infinity);
    });
    tellStatus();
    const stop = connection.subscribe('liveCurve', ({ readAtUs: _hostUs, ...curve }) => {
      // The host's clock is another than this page's.
      teller.current?.takeCurve(curve, performance.now() * 1000);
    });
    return () => {
      stop();
      teller.current = null;
    };
  }, [screen, connection]);
  useEffect(() => tellStatus(), [status, torqueUnit, isHeldBack]);
  return (
    <div
      className="overlay-preview-box"
      ref={hostRef}
      role="img"
      aria-label="The overlay with what the bench does just now"
    />
  );
}

function useScreen(look: OverlayPreviewProps['look']) {
  const hostRef = useRef<HTMLDivElement>(null);
  const [screen, setScreen] = useState<OverlayScreen | null>(null);
  useEffect(() => {
    const host = hostRef.current;
    if (host === null) return undefined;
    const made = new OverlayScreen(host);
    made.setVisible(true);
    setScreen(made);
    return () => made.remove();
  }, []);
  const { layout, theme } = look;
  useEffect(() => {
    screen?.setLook({ layout, theme });
  }, [screen, layout, theme]);
  return { hostRef, screen };
}
