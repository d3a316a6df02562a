import type { Tool } from '../run-sheet/setup-model.ts';
import type { HandlingRating, ToolDetails } from './catalogue-model.ts';
import { toolPropertyWords } from './catalogue-words.ts';

/** What standings could ask for and is not there, as words that follow "missing:". */
export function listMissing(tool: Tool, details: ToolDetails, ratings: readonly HandlingRating[]): string[] {
  const words = toolPropertyWords;
  const checks: readonly (readonly [string, boolean])[] = [
    ['class of tool', details.toolClass !== null],
    ['drive size', details.driveSize !== null],
    [words.length, details.lengthM !== null],
    [words.massBare, details.massBareKg !== null],
    [words.massLoaded, details.massLoadedKg !== null],
    [words.declaredVibration, tool.declaredVibrationMps2 !== null],
    [words.declaredNoise, tool.declaredNoiseDbA !== null],
    [words.fasteningClaim, details.claims.some(({ kind }) => kind === 'fastening')],
    [words.breakawayClaim, details.claims.some(({ kind }) => kind === 'breakaway')],
    [words.priceBare, details.prices.some(({ kind }) => kind === 'bare')],
    [words.priceKit, details.prices.some(({ kind }) => kind === 'kit')],
    [words.handling, ratings.length > 0],
  ];
  return checks.filter(([, isThere]) => !isThere).map(([what]) => what);
}
