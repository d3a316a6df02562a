import { SYNC_FLASH_MS } from '../../shared-lib/overlay/overlay-model.ts';
import './sync-flash.css';

/** What a page draws is seen about a frame later. */
const FRAME_MS = 1000 / 60;
const TONE_HZ = 1000;
/** As short as does not click. */
const RAMP_S = 0.002;

let context: AudioContext | null = null;

/**
 * The flash and the tone of a mark at an instant of this page's clock: the frame nearest to it turns white. `volume` 0 to 1. Browsers
 * let a page sound only after its user has touched it, and capture programs let it at once; without a tone there is still the flash.
 */
export function signalSyncMark(element: HTMLElement, atPageMs: number, volume: number): void {
  sound(atPageMs, volume);
  const hide = (frameMs: number, shownMs: number): void => {
    // By frames and not by a timer, so that a busy page has shown it before it goes.
    if (frameMs - shownMs < SYNC_FLASH_MS) requestAnimationFrame((nextMs) => hide(nextMs, shownMs));
    else delete element.dataset['isFlashing'];
  };
  const show = (frameMs: number): void => {
    if (frameMs < atPageMs - 1.5 * FRAME_MS) {
      requestAnimationFrame(show);
      return;
    }
    element.dataset['isFlashing'] = 'true';
    requestAnimationFrame((nextMs) => hide(nextMs, frameMs));
  };
  requestAnimationFrame(show);
}

function sound(atPageMs: number, volume: number): void {
  if (volume <= 0) return;
  context ??= new AudioContext();
  const audio = context;
  if (audio.state === 'suspended') void audio.resume();
  const fromS = Math.max(
    audio.currentTime,
    audio.currentTime + (atPageMs - performance.now()) / 1000 - audio.outputLatency,
  );
  const toS = fromS + SYNC_FLASH_MS / 1000;
  const oscillator = audio.createOscillator();
  const gain = audio.createGain();
  oscillator.frequency.value = TONE_HZ;
  gain.gain.setValueAtTime(0, fromS);
  gain.gain.linearRampToValueAtTime(volume, fromS + RAMP_S);
  gain.gain.setValueAtTime(volume, toS - RAMP_S);
  gain.gain.linearRampToValueAtTime(0, toS);
  oscillator.connect(gain).connect(audio.destination);
  oscillator.start(fromS);
  oscillator.stop(toS);
}
