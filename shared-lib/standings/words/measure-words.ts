import { assertNever } from '../../assert-never.ts';
import { toolClassWords, supplyWords } from '../../catalogue/catalogue-words.ts';
import type { DriveSize, ToolClass } from '../../catalogue/catalogue-model.ts';
import type { ComparedStep, TrialMeasure } from '../../comparison/trial-measure.ts';
import { formatDuration, formatNumber, THIN_SPACE } from '../../format-quantity.ts';
import type { Supply } from '../../run-sheet/setup-model.ts';
import type { TermMeasure, ToolProperty } from '../scheme-model.ts';
import { describeProperty } from '../term-words.ts';
import type { Kind } from '../../trial/step-model.ts';

/** What tools and measures are called on the pages of Standings. */
export const classLabel = (toolClass: ToolClass): string => capitalised(toolClassWords[toolClass]);
export const supplyLabel = (supply: Supply): string => capitalised(supplyWords[supply]);
export const propertyLabel = (property: ToolProperty): string => capitalised(describeProperty(property));

export const classesWords: Readonly<Record<ToolClass, string>> = {
  impactWrench: 'impact wrenches',
  impactDriver: 'impact drivers',
  screwdriver: 'screwdrivers',
  drill: 'drills',
  ratchet: 'ratchets',
  nutrunner: 'nutrunners',
  wrench: 'wrenches',
  other: 'other tools',
};

/** The inch sizes are what these are sold by. */
export const driveWords: Readonly<Record<DriveSize, string>> = {
  'square6.3': `Square 6.3${THIN_SPACE}mm (1/4${THIN_SPACE}in)`,
  square10: `Square 10${THIN_SPACE}mm (3/8${THIN_SPACE}in)`,
  'square12.5': `Square 12.5${THIN_SPACE}mm (1/2${THIN_SPACE}in)`,
  square20: `Square 20${THIN_SPACE}mm (3/4${THIN_SPACE}in)`,
  square25: `Square 25${THIN_SPACE}mm (1${THIN_SPACE}in)`,
  'hex6.35': `Hexagon 6.35${THIN_SPACE}mm (1/4${THIN_SPACE}in)`,
  'hex11.1': `Hexagon 11.1${THIN_SPACE}mm (7/16${THIN_SPACE}in)`,
  other: 'Other drive',
};

export const kindWords: Readonly<Record<Kind, string>> = {
  tighten: 'Tighten',
  breakaway: 'Break away',
  stall: 'Stall',
  endurance: 'Endurance',
};

/** "Sustained torque", "Torque at 5 s"; `level` writes a torque in the chosen unit. */
export function figureWords(measure: TrialMeasure, level: (torqueNm: number) => string): string {
  switch (measure.figure) {
    case 'sustainedTorque':
      return 'Sustained torque';
    case 'finalTorque':
      return 'Final torque';
    case 'torqueAt':
      return `Torque at ${formatNumber(measure.atS, 0)}${THIN_SPACE}s`;
    case 'timeTo90Percent':
      return `Time to 90${THIN_SPACE}%`;
    case 'timeToLevel':
      return `Time to ${level(measure.levelNm)}`;
    case 'stallTorque':
      return 'Stall torque';
    case 'releasedPreload':
      return 'Released preload';
    case 'lastTorque':
      return 'Torque in the last tenth';
    default:
      return assertNever(measure, 'This measure has no words');
  }
}

/** "forward 5 s", and the kind before it where that is not the usual one. */
export function stepWords({ kind, direction, plannedS }: ComparedStep): string {
  const time = formatDuration(plannedS, Number.isInteger(plannedS) ? 0 : 1);
  return `${kind === 'tighten' ? '' : `${kindWords[kind].toLowerCase()} `}${direction} ${time}`;
}

const isClaim = (property: ToolProperty) => property === 'fasteningClaim' || property === 'breakawayClaim';

/** "Sustained torque, forward 5 s, per mass, bare". */
export function measureWords(
  measure: TermMeasure,
  level: (torqueNm: number) => string,
  schemeName: (schemeId: string) => string | null,
): string {
  switch (measure.of) {
    case 'trial':
      return `${figureWords(measure.measure, level)}, ${stepWords(measure.step)}`;
    case 'tool':
      return propertyLabel(measure.property);
    case 'ratio': {
      const figure = `${figureWords(measure.measure, level)}, ${stepWords(measure.step)}`;
      return isClaim(measure.per)
        ? `${figure}, as a share of the ${describeProperty(measure.per)}`
        : `${figure}, per ${describeProperty(measure.per)}`;
    }
    case 'scheme':
      return `Total of “${schemeName(measure.schemeId) ?? 'a scheme that is not on the list'}”`;
    default:
      return assertNever(measure, 'This measure has no words');
  }
}

export function capitalised(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

export function lowered(words: string): string {
  return words.charAt(0).toLowerCase() + words.slice(1);
}
