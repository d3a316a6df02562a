import { type CueName, cuePatterns } from './cue-patterns.ts';

/** Fades the ends of a tone, which would click otherwise. */
const RAMP_S = 0.008;

let context: AudioContext | null = null;

function audioContext(): AudioContext {
  context ??= new AudioContext();
  return context;
}

/** Browsers let a page sound only after its user has touched it; call this on a first key or click. */
export function wakeSound(): void {
  void audioContext().resume();
}

/** Plays a cue now. `volume` 0 to 1; 0 is silent. */
export function playCue(cue: CueName, volume: number): void {
  if (volume <= 0) return;
  const audio = audioContext();
  if (audio.state === 'suspended') void audio.resume();
  const startS = audio.currentTime;
  for (const { atS, durationS, frequencyHz } of cuePatterns[cue]) {
    const oscillator = audio.createOscillator();
    const gain = audio.createGain();
    // A triangle has overtones enough to be placed by ear, and fewer than would sting.
    oscillator.type = 'triangle';
    oscillator.frequency.value = frequencyHz;
    const fromS = startS + atS;
    const toS = fromS + durationS;
    gain.gain.setValueAtTime(0, fromS);
    gain.gain.linearRampToValueAtTime(volume, fromS + RAMP_S);
    gain.gain.setValueAtTime(volume, toS - RAMP_S);
    gain.gain.linearRampToValueAtTime(0, toS);
    oscillator.connect(gain).connect(audio.destination);
    oscillator.start(fromS);
    oscillator.stop(toS);
  }
}
