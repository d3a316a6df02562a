import { assertNever } from '../../shared-lib/assert-never.ts';
import type { AmplifierStatus } from '../../shared-lib/bench-status.ts';
import { formatNumber } from '../../shared-lib/format-quantity.ts';

/** Beyond this the rate counts as a fault (the same limit as for a recorded trial). */
const RATE_TOLERANCE = 0.02;

export function linkSentence(amplifier: AmplifierStatus): string {
  const source = sourceWords(amplifier);
  switch (amplifier.link) {
    case 'disconnected':
      return 'Not connected';
    case 'connecting':
      return `${source}: opening`;
    case 'connected':
      return `${source}: connected, lines are coming in`;
    case 'silent':
      return hasOnlyUnreadableLines(amplifier)
        ? `${source}: open, but none of its lines can be read`
        : `${source}: open, but no lines are coming in`;
    case 'reconnecting':
      return `${source}: lost, trying again by itself`;
    case 'failed':
      return `${source}: could not be opened`;
    default:
      return assertNever(amplifier.link, 'This link state has no sentence');
  }
}

function sourceWords({ source, portPath, amplifierName }: AmplifierStatus): string {
  switch (source) {
    case 'simulated':
      return 'Simulated bench';
    case 'replayed':
      return 'Replayed capture';
    case 'serial':
    case 'none':
      return amplifierName ?? portPath ?? 'Amplifier';
    default:
      return assertNever(source, 'This source has no words');
  }
}

/** A sign that the profile is wrong rather than the cable. */
export function hasOnlyUnreadableLines({ counters }: AmplifierStatus): boolean {
  return counters.samples === 0 && counters.badLines + counters.badChecksums > 0;
}

export interface RateComparison {
  readonly sentence: string;
  readonly isOff: boolean;
  /** What the nominal rate could be set to: four significant digits, as good as a short fit is. */
  readonly suggestedRateHz: number;
}

/** Null until a rate has been measured. */
export function compareRate(amplifier: AmplifierStatus): RateComparison | null {
  const { measuredRateHz, nominalRateHz } = amplifier;
  if (measuredRateHz === null || nominalRateHz === null) return null;
  const difference = measuredRateHz / nominalRateHz - 1;
  const percent = formatNumber(Math.abs(difference) * 100, 1);
  const isSame = Math.abs(difference) < 0.0005;
  return {
    sentence: isSame ? 'as set' : `${percent} % ${difference > 0 ? 'above' : 'below'} the nominal rate`,
    isOff: Math.abs(difference) > RATE_TOLERANCE,
    suggestedRateHz: Number(measuredRateHz.toPrecision(4)),
  };
}

/** Control characters would be invisible, and they are often just what is wrong with a line. */
export function visibleLine(line: string): string {
  return line.replace(
    /[\p{Cc}\ufffd]/gu,
    (character) => `\\x${(character.codePointAt(0) ?? 0).toString(16).padStart(2, '0')}`,
  );
}
