import type { Supply } from '../run-sheet/setup-model.ts';
import type { ToolProperty } from '../standings/scheme-model.ts';
import type { Claim, DriveSize, PriceKind, ToolClass } from './catalogue-model.ts';

/** What the catalogue calls its choices, on screens, in sentences and in files; in the order in which they are offered. */
export const toolClassWords: Readonly<Record<ToolClass, string>> = {
  impactWrench: 'impact wrench',
  impactDriver: 'impact driver',
  screwdriver: 'screwdriver',
  drill: 'drill',
  ratchet: 'ratchet',
  nutrunner: 'nutrunner',
  wrench: 'wrench',
  other: 'other',
};

export const driveSizeWords: Readonly<Record<DriveSize, string>> = {
  'square6.3': 'square 6.3',
  square10: 'square 10',
  'square12.5': 'square 12.5',
  square20: 'square 20',
  square25: 'square 25',
  'hex6.35': 'hex 6.35',
  'hex11.1': 'hex 11.1',
  other: 'other',
};

export const supplyWords: Readonly<Record<Supply, string>> = {
  battery: 'battery',
  mains: 'mains',
  air: 'air',
  hand: 'hand',
};

export const claimKindWords: Readonly<Record<Claim['kind'], string>> = {
  fastening: 'fastening',
  breakaway: 'breakaway',
};

export const priceKindWords: Readonly<Record<PriceKind, string>> = { bare: 'bare', kit: 'kit' };

export const toolPropertyWords: Readonly<Record<ToolProperty, string>> = {
  massBare: 'bare mass',
  massLoaded: 'mass with its pack',
  length: 'length',
  priceBare: 'price of the bare tool',
  priceKit: 'price of the kit',
  declaredVibration: 'declared vibration',
  declaredNoise: 'declared noise',
  handling: 'handling rating',
  fasteningClaim: 'fastening claim',
  breakawayClaim: 'breakaway claim',
};
