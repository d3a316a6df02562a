import '../forbid-evaluation.ts';
import type { OverlayFrame } from '../../shared-lib/overlay/overlay-model.ts';
import { HostClock } from './host-clock.ts';
import { OverlayScreen } from './overlay-screen.ts';
import { listenToDoor } from './overlay-socket.ts';
import { WaitingFrames } from './shown-frames.ts';
import { signalSyncMark } from './sync-signal.ts';
import './overlay-page.css';

const host = document.getElementById('overlay');
if (host === null) throw new Error('The page has no place for the overlay.');
const flash = document.createElement('div');
flash.className = 'sync-flash';
const screen = new OverlayScreen(host);
document.body.append(flash);

const clock = new HostClock();
const waiting = new WaitingFrames(screen);
/** A figure that is not of this moment any more must not stand in a picture. */
const STALE_MS = 1000;
const TONE_VOLUME = 0.8;
let delayMs = 0;
let hidesAt: ReturnType<typeof setTimeout> | undefined;

function take(frame: OverlayFrame, receivedMs: number): void {
  clearTimeout(hidesAt);
  hidesAt = undefined;
  switch (frame.kind) {
    case 'look':
      delayMs = frame.settings.delayMs;
      screen.setLook(frame.settings);
      screen.setVisible(true);
      return;
    case 'clock':
      clock.take(frame.hostUs, receivedMs);
      return;
    case 'syncMark': {
      const atMs = clock.pageMs(frame.atUs);
      if (atMs !== null) signalSyncMark(flash, atMs + delayMs, TONE_VOLUME);
      return;
    }
    default:
      waiting.take(frame);
  }
}

listenToDoor({
  onFrame: take,
  onLost() {
    hidesAt ??= setTimeout(() => {
      screen.setVisible(false);
      waiting.forget();
      clock.forget();
    }, STALE_MS);
  },
});

function showFrame(): void {
  const nowUs = clock.hostUs(performance.now());
  if (nowUs !== null) {
    const shownUs = nowUs - delayMs * 1000;
    waiting.showUntil(shownUs);
    screen.advance(shownUs);
  }
  requestAnimationFrame(showFrame);
}
requestAnimationFrame(showFrame);
