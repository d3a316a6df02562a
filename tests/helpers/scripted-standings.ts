import type { SchemeVersion, Term } from '../../shared-lib/standings/scheme-model.ts';
import type {
  Cell,
  NotRanked,
  PlaceRanges,
  Standings,
  StandingsChange,
  StandingsRow,
  StandingsTable,
} from '../../shared-lib/standings/standings-model.ts';

/** Ready-made standings for tests of the window; tools, prices and figures are invented (demo). */
export const forward5 = { kind: 'tighten', direction: 'forward', plannedS: 5 } as const;

export const demoTable: StandingsTable = {
  id: 'table-1',
  name: 'Impact wrenches (demo)',
  schemeId: 'scheme-1',
  toolClasses: ['impactWrench'],
  driveSizes: [],
  supplies: ['battery'],
  isSimulated: true,
  gate: 'goodAndLook',
  currency: 'EUR',
  isArchived: false,
};

export const torqueTerm: Term = {
  id: 'torque',
  label: 'Torque',
  measure: { of: 'trial', step: forward5, measure: { figure: 'sustainedTorque' } },
  better: 'more',
  how: { way: 'perUnit', points: 1, amount: 10 },
  factor: 1,
  cap: null,
  missing: 'notRanked',
};

export const priceTerm: Term = {
  id: 'price',
  label: 'Price of the kit',
  measure: { of: 'tool', property: 'priceKit' },
  better: 'less',
  how: { way: 'shareOfBest', points: 50 },
  factor: 2,
  cap: 80,
  missing: 'zero',
};

export const demoScheme: SchemeVersion = {
  schemeId: 'scheme-1',
  version: 2,
  name: 'Torque and price (demo)',
  terms: [torqueTerm, priceTerm],
  isNormalised: false,
  note: '',
  operator: 'Demo operator',
  createdAt: '2026-03-01T08:00:00.000Z',
};

export function demoCell(termId: string, change: Partial<Cell> = {}): Cell {
  return { termId, value: 400, count: 3, points: 40, missing: null, isCapped: false, ...change };
}

const setups: Readonly<Record<string, string>> = { 'Hollin H5': 'pack 2' };

export function demoContender(toolName: string): StandingsRow['contender'] {
  const setup = setups[toolName];
  return {
    key: `name:${toolName.toLowerCase()}`,
    label: setup === undefined ? toolName : `${toolName}, ${setup}`,
    toolName,
    toolId: null,
    setup: null,
    isSimulated: true,
  };
}

export function demoRow(toolName: string, place: number, change: Partial<StandingsRow> = {}): StandingsRow {
  return {
    contender: demoContender(toolName),
    toolClass: 'impactWrench',
    place,
    total: 100 - place,
    cells: [demoCell('torque'), demoCell('price', { value: 199, count: 0, points: 50 })],
    cautions: [],
    ...change,
  };
}

export function demoNotRanked(toolName: string, because: string[]): NotRanked {
  return {
    contender: demoContender(toolName),
    toolClass: null,
    because,
    cells: [
      demoCell('torque', { value: 612.5, count: 2, points: null }),
      demoCell('price', { value: null, count: 0, points: null, missing: 'No price is known.' }),
    ],
  };
}

export function demoStandings(change: Partial<Standings> = {}): Standings {
  return {
    table: demoTable,
    scheme: demoScheme,
    rows: [demoRow('Hollin H5', 1), demoRow('Tarnwick T6', 2), demoRow('Brindlow B4', 3)],
    notRanked: [],
    cautions: [],
    ...change,
  };
}

export function demoRanges(standings: Standings, worst: number): PlaceRanges {
  return {
    ranges: standings.rows.map(({ contender }) => ({
      key: contender.key,
      bestPlace: 1,
      worstPlace: worst,
      notSeparatedFrom: standings.rows.map((row) => row.contender.key).filter((key) => key !== contender.key),
    })),
    drawCount: 10_000,
    seed: 1,
    criticalValue: 2.4,
    sentences: [],
  };
}

export function demoChange(toolName: string, change: Partial<StandingsChange> = {}): StandingsChange {
  const { key, label } = demoContender(toolName);
  return {
    key,
    label,
    fromPlace: 1,
    toPlace: 1,
    fromTotal: 100,
    toTotal: 100,
    cells: [],
    because: [],
    ...change,
  };
}
