import type { NumeralForm } from './read-numeral.ts';
import type { FieldTrack } from './track-fields.ts';

export interface ModulusGuess {
  readonly modulus: number;
  readonly reason: string;
  /** Whether the counter was seen to start again, or its width says it; else it is an assumption. */
  readonly isSeen: boolean;
}

const LEAST_MODULUS = 16;
const LARGEST_MODULUS = 2 ** 48;
const usualModuli = [
  ...Array.from({ length: 45 }, (_, index) => 2 ** (index + 4)),
  ...Array.from({ length: 12 }, (_, index) => 10 ** (index + 2)),
];
const magnitudes = [2 ** 8, 2 ** 16, 2 ** 32, 2 ** 48];
/** A counter whose first number heard is smaller started when the port was opened, and says nothing of where it ends. */
const STARTED_WITHIN_S = 0.25;
const LEAST_START = 16;

/**
 * Where a counter starts again at 0: from a start that was seen, else from the width in which it is written, else from how
 * large it has become. `stepPerLine` is what it advances from one line to the next.
 *
 * Returns null for a counter that starts again somewhere else than at 0 as a rule: no modulus describes it.
 */
export function guessModulus(
  track: FieldTrack,
  form: NumeralForm,
  stepPerLine: number,
  lineRateHz: number | null,
): ModulusGuess | null {
  const seen = modulusFromFalls(track.falls, stepPerLine);
  if (seen === 'notAtZero') return null;
  if (seen !== null && seen > track.greatest) {
    return {
      modulus: seen,
      reason: `It was seen to start again at 0 after ${seen - 1}: it counts modulo ${seen}.`,
      isSeen: true,
    };
  }
  if (form.kind === 'hex' && form.isFixedWidth && 16 ** form.digits <= LARGEST_MODULUS && form.digits > 1) {
    const modulus = 16 ** form.digits;
    return {
      modulus,
      reason: `It always has ${form.digits} hexadecimal digits: modulo ${modulus}.`,
      isSeen: true,
    };
  }
  if (form.kind === 'decimal' && form.zeroPaddedWidth !== null && form.zeroPaddedWidth > 1) {
    const modulus = 10 ** form.zeroPaddedWidth;
    return {
      modulus,
      reason: `It is always written with ${form.zeroPaddedWidth} digits: modulo ${modulus}.`,
      isSeen: true,
    };
  }
  const large = 2 ** 32;
  const startLimit = Math.max(LEAST_START, STARTED_WITHIN_S * (lineRateHz ?? 0)) * stepPerLine;
  if (track.first <= startLimit && track.greatest < large) {
    return {
      modulus: large,
      reason: `It started near 0 when the port was opened and was not seen to start again: modulo ${large} is assumed.`,
      isSeen: false,
    };
  }
  const modulus = magnitudes.find((candidate) => candidate > track.greatest) ?? LARGEST_MODULUS;
  return {
    modulus,
    reason: `All its numbers were below ${modulus} and it was not seen to start again: modulo ${modulus} is assumed. Listen on until it passes that to be sure.`,
    isSeen: false,
  };
}

/** Null where no fall tells. A single fall that fits no usual modulus is taken for a device that was reset. */
function modulusFromFalls(
  falls: readonly { readonly from: number; readonly to: number }[],
  stepPerLine: number,
): number | 'notAtZero' | null {
  const moduli = falls.map(({ from, to }) => from + stepPerLine - to);
  const first = moduli[0];
  if (first === undefined) return null;
  const isOneStep = stepPerLine === 1;
  const agreeing = moduli.filter((modulus) => modulus === first).length;
  if (isOneStep && moduli.length >= 2 && agreeing === moduli.length) {
    const starts = falls.every(({ to }) => to === falls[0]?.to);
    if (starts && falls[0]?.to !== 0) return 'notAtZero';
    if (first >= LEAST_MODULUS && first <= LARGEST_MODULUS) return first;
  }
  // Lines lost at a fall, or steps that are not all the same, put it off a little.
  const usual = moduli.map((modulus) => {
    const slack = isOneStep ? Math.min(64, modulus / 8) : Math.max(4 * stepPerLine, modulus / 100);
    return (
      usualModuli.find((candidate) => candidate >= modulus && candidate - modulus <= slack) ??
      (isOneStep ? null : (usualModuli.find((candidate) => Math.abs(candidate - modulus) <= slack) ?? null))
    );
  });
  const last = usual[usual.length - 1] ?? null;
  return last !== null && usual.filter((modulus) => modulus === last).length * 2 > usual.length ? last : null;
}
