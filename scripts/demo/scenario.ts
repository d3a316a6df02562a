import type { ToolDetails } from '../../shared-lib/catalogue/catalogue-model.ts';
import type { Plan } from '../../shared-lib/run-sheet/plan-model.ts';
import type { Pack, Setup, Tool } from '../../shared-lib/run-sheet/setup-model.ts';
import { simulatedTools, type SimulatedTool } from '../../shared-lib/simulation/simulated-tool.ts';

/**
 * An invented workshop: makers, tools, prices, claims and people are all made up. It is laid out so that every verdict of a
 * comparison and every reason not to be ranked occurs in it.
 */
export interface DemoTool {
  readonly id: string;
  readonly name: string;
  readonly details: Pick<ToolDetails, 'maker' | 'model'> & Partial<ToolDetails>;
  readonly vibrationMps2: number | null;
  readonly simulated: SimulatedTool;
  readonly runScatter: number;
  readonly ratings: readonly { readonly rater: string; readonly score: number; readonly isBlind: boolean }[];
}

const { 'Hollin H5': hollin, 'Tarnwick T6': tarnwick } = simulatedTools;
const { 'Brindlow B4': brindlow, 'Corvane C8': corvane } = simulatedTools;
/** From run to run; what leaves differences of some percent to be found in three rounds. */
const STEADY = 0.012;

const price = (id: string, amount: number, on: string, kind: 'bare' | 'kit' = 'bare', currency = 'EUR') => ({
  id,
  kind,
  amount,
  currency,
  on,
  source: 'invented shop (demo)',
});
const claim = (id: string, torqueNm: number, kind: 'fastening' | 'breakaway' = 'fastening') => ({
  id,
  kind,
  torqueNm,
  source: 'invented data sheet (demo)',
  statedOn: '2026-01-15',
});

export const demoTools: readonly DemoTool[] = [
  {
    id: 'demo-hollin-h5',
    name: 'Hollin H5',
    details: {
      maker: 'Hollin',
      model: 'H5',
      lengthM: 0.152,
      massBareKg: 1.35,
      massLoadedKg: 1.98,
      claims: [claim('demo-claim-h5', 400), claim('demo-claim-h5-b', 450, 'breakaway')],
      // It became cheaper: both prices stay, the newest counts.
      prices: [price('demo-price-h5-1', 199, '2026-01-20'), price('demo-price-h5-2', 179, '2026-03-01')],
    },
    vibrationMps2: 11.5,
    simulated: hollin,
    runScatter: STEADY,
    ratings: [
      { rater: 'Rowan (demo)', score: 7.5, isBlind: true },
      { rater: 'Imke (demo)', score: 8, isBlind: true },
    ],
  },
  {
    id: 'demo-tarnwick-t6',
    name: 'Tarnwick T6',
    details: {
      maker: 'Tarnwick',
      model: 'T6',
      lengthM: 0.169,
      massBareKg: 1.72,
      massLoadedKg: 2.4,
      claims: [claim('demo-claim-t6', 900)],
      prices: [price('demo-price-t6', 249, '2026-02-02'), price('demo-price-t6-k', 389, '2026-02-02', 'kit')],
    },
    vibrationMps2: 14,
    simulated: tarnwick,
    runScatter: STEADY,
    ratings: [
      { rater: 'Rowan (demo)', score: 6, isBlind: true },
      { rater: 'Imke (demo)', score: 6.5, isBlind: false },
    ],
  },
  {
    id: 'demo-brindlow-b4',
    name: 'Brindlow B4',
    details: {
      maker: 'Brindlow',
      model: 'B4',
      lengthM: 0.124,
      massBareKg: 0.94,
      massLoadedKg: 1.36,
      claims: [claim('demo-claim-b4', 280)],
      prices: [price('demo-price-b4', 119, '2026-02-10')],
    },
    vibrationMps2: 9.2,
    simulated: brindlow,
    runScatter: STEADY,
    ratings: [
      { rater: 'Rowan (demo)', score: 9, isBlind: true },
      { rater: 'Imke (demo)', score: 8.5, isBlind: true },
    ],
  },
  {
    id: 'demo-corvane-c8',
    name: 'Corvane C8',
    details: {
      maker: 'Corvane',
      model: 'C8',
      driveSize: 'square20',
      lengthM: 0.231,
      massBareKg: 3.1,
      massLoadedKg: 4.05,
      claims: [claim('demo-claim-c8', 1050)],
      prices: [price('demo-price-c8', 449, '2026-02-11')],
    },
    vibrationMps2: 18,
    simulated: corvane,
    runScatter: STEADY,
    ratings: [{ rater: 'Rowan (demo)', score: 4.5, isBlind: true }],
  },
  {
    // As strong as the Hollin: level.
    id: 'demo-quenby-q5',
    name: 'Quenby Q5',
    details: {
      maker: 'Quenby',
      model: 'Q5',
      lengthM: 0.149,
      massBareKg: 1.41,
      massLoadedKg: 2.02,
      claims: [claim('demo-claim-q5', 480)],
      // There is no rate for pounds: not to be compared by price.
      prices: [price('demo-price-q5', 139, '2026-02-12', 'bare', 'GBP')],
    },
    vibrationMps2: 12,
    simulated: { ...hollin, name: 'Quenby Q5', blowRateHz: 40 },
    runScatter: STEADY,
    ratings: [
      { rater: 'Rowan (demo)', score: 7, isBlind: true },
      { rater: 'Imke (demo)', score: 7, isBlind: true },
    ],
  },
  {
    // Four percent ahead of the Hollin: ahead, yet not by the margin.
    id: 'demo-ostrel-o6',
    name: 'Ostrel O6',
    details: {
      maker: 'Ostrel',
      model: 'O6',
      lengthM: 0.158,
      massBareKg: 1.5,
      massLoadedKg: 2.15,
      claims: [claim('demo-claim-o6', 500)],
      prices: [price('demo-price-o6', 189, '2026-02-12', 'bare', 'USD')],
    },
    vibrationMps2: 12.5,
    simulated: { ...hollin, name: 'Ostrel O6', blowEnergyJ: 15.1 },
    runScatter: STEADY,
    ratings: [{ rater: 'Imke (demo)', score: 7.5, isBlind: true }],
  },
  {
    // Its runs scatter, so that nobody knows.
    id: 'demo-pellmar-p7',
    name: 'Pellmar P7',
    details: {
      maker: 'Pellmar',
      model: 'P7',
      lengthM: 0.171,
      massBareKg: 1.8,
      massLoadedKg: 2.52,
      claims: [claim('demo-claim-p7', 700)],
      prices: [price('demo-price-p7', 229, '2026-02-12')],
    },
    vibrationMps2: 15,
    simulated: { ...tarnwick, name: 'Pellmar P7', blowEnergyJ: 21 },
    runScatter: 0.09,
    ratings: [{ rater: 'Rowan (demo)', score: 5.5, isBlind: true }],
  },
  {
    // All its trials are voided.
    id: 'demo-morrick-m2',
    name: 'Morrick M2',
    details: {
      maker: 'Morrick',
      model: 'M2',
      lengthM: 0.14,
      massBareKg: 1.1,
      massLoadedKg: 1.6,
      claims: [],
      prices: [price('demo-price-m2', 99, '2026-02-12')],
    },
    vibrationMps2: null,
    simulated: { ...brindlow, name: 'Morrick M2', blowEnergyJ: 8 },
    runScatter: STEADY,
    ratings: [],
  },
  {
    // Pulled with another amplifier only.
    id: 'demo-skarth-s4',
    name: 'Skarth S4',
    details: {
      maker: 'Skarth',
      model: 'S4',
      lengthM: 0.13,
      massBareKg: 1,
      claims: [],
      prices: [price('demo-price-s4', 109, '2026-02-12')],
    },
    vibrationMps2: 10,
    simulated: { ...brindlow, name: 'Skarth S4', blowEnergyJ: 7 },
    runScatter: STEADY,
    ratings: [],
  },
  {
    // Never pulled.
    id: 'demo-veldrin-v3',
    name: 'Veldrin V3',
    details: { maker: 'Veldrin', model: 'V3', claims: [claim('demo-claim-v3', 350)], prices: [] },
    vibrationMps2: null,
    simulated: hollin,
    runScatter: STEADY,
    ratings: [],
  },
  {
    // The same tool as the Hollin, entered twice by somebody in a hurry.
    id: 'demo-hollin-h-5',
    name: 'Hollin H-5',
    details: { maker: 'Hollin', model: 'H-5', claims: [], prices: [] },
    vibrationMps2: null,
    simulated: hollin,
    runScatter: STEADY,
    ratings: [],
  },
];

export function toolOf({ id, name, vibrationMps2 }: DemoTool): Tool {
  return {
    id,
    name,
    supply: 'battery',
    declaredVibrationMps2: vibrationMps2,
    declaredNoiseDbA: vibrationMps2 === null ? null : 96,
    isArchived: false,
  };
}

export function detailsOf({ details }: DemoTool): ToolDetails {
  return {
    toolClass: 'impactWrench',
    driveSize: 'square12.5',
    lengthM: null,
    massBareKg: null,
    massLoadedKg: null,
    claims: [],
    prices: [],
    note: 'Invented for the demo workshop.',
    ...details,
  };
}

export const demoPack: Pack = {
  id: 'demo-pack-5',
  name: 'Pack 5 Ah',
  nominalV: 18,
  capacityAh: 5,
  isArchived: false,
};

export function setupOf({ id }: DemoTool): Setup {
  return {
    id: `setup-${id}`,
    toolId: id,
    packId: demoPack.id,
    setting: '',
    socket: { name: '24 mm impact socket', massKg: 0.19, lengthM: 0.05 },
    isArchived: false,
  };
}

const step = (kind: Plan['steps'][number]['kind'], direction: 'forward' | 'reverse', plannedS: number) => ({
  kind,
  direction,
  plannedS,
  preloadNm: kind === 'breakaway' ? BREAKAWAY_PRELOAD_NM : null,
  repeats: 1,
  restS: 90,
});
export const BREAKAWAY_PRELOAD_NM = 400;

const plan = (id: string, name: string, steps: Plan['steps'], reference: Plan['reference']): Plan => ({
  id,
  name,
  steps,
  conditioningPulls: 1,
  rounds: 3,
  roundsToPublish: 5,
  reference,
  asks: [],
});

export const demoPlans = {
  bothWays: plan(
    'demo-both-ways',
    'Forward 5 s and reverse 10 s (demo)',
    [step('tighten', 'forward', 5), step('tighten', 'reverse', 10)],
    { atStart: 3, perRound: 1, atEnd: 3 },
  ),
  forward: plan('demo-forward', 'Forward 5 s (demo)', [step('tighten', 'forward', 5)], null),
  breakaway: plan('demo-breakaway', 'Breakaway from 400 N·m (demo)', [step('breakaway', 'reverse', 5)], null),
};
