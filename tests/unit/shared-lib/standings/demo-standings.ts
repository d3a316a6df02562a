import type { ComparedStep, TrialMeasure } from '../../../../shared-lib/comparison/trial-measure.ts';
import { measuresOfSchemes, trialMeasureKey } from '../../../../shared-lib/standings/measure-keys.ts';
import type { SchemeVersion, Term, ToolProperty } from '../../../../shared-lib/standings/scheme-model.ts';
import type {
  PropertyValue,
  ScoredTrial,
  StandingsInput,
  StandingsSubject,
} from '../../../../shared-lib/standings/standings-model.ts';

/** Standings of invented tools, small enough to be computed by hand. */
export const forward5: ComparedStep = { kind: 'tighten', direction: 'forward', plannedS: 5 };
export const reverse10: ComparedStep = { kind: 'tighten', direction: 'reverse', plannedS: 10 };
export const sustained: TrialMeasure = { figure: 'sustainedTorque' };
export const pace: TrialMeasure = { figure: 'timeTo90Percent' };

export const forwardTorque = { of: 'trial', step: forward5, measure: sustained } as const;
export const reverseTorque = { of: 'trial', step: reverse10, measure: sustained } as const;
export const forwardPace = { of: 'trial', step: forward5, measure: pace } as const;

/** A point for each N·m of forward torque, unless something else is said. */
export function demoTerm(change: Partial<Term> = {}): Term {
  return {
    id: 'forward',
    label: 'Forward',
    measure: forwardTorque,
    better: 'more',
    how: { way: 'perUnit', points: 1, amount: 1 },
    factor: 1,
    cap: null,
    missing: 'notRanked',
    ...change,
  };
}

export const propertyTerm = (property: ToolProperty, change: Partial<Term> = {}): Term =>
  demoTerm({ id: property, label: property, measure: { of: 'tool', property }, ...change });

export function demoScheme(terms: Term[], change: Partial<SchemeVersion> = {}): SchemeVersion {
  return {
    schemeId: 'main',
    version: 1,
    name: 'Demo scheme',
    terms,
    isNormalised: false,
    note: '',
    operator: 'demo',
    createdAt: '2026-03-01T08:00:00.000Z',
    ...change,
  };
}

export const keyOf = (name: string): string => `name:${name}`;

export function demoProperty(
  property: ToolProperty,
  value: number | null,
  change: Partial<PropertyValue> = {},
): PropertyValue {
  return {
    property,
    value,
    missing: value === null ? `No ${property} is entered.` : null,
    source: value === null ? '' : 'as entered',
    standardError: null,
    ...change,
  };
}

export function demoSubject(
  name: string,
  properties: PropertyValue[] = [],
  change: Partial<StandingsSubject> = {},
): StandingsSubject {
  return {
    contender: {
      key: keyOf(name),
      label: `${name} (demo)`,
      toolName: `${name} (demo)`,
      toolId: `tool-${name}`,
      setup: null,
      isSimulated: true,
    },
    toolClass: 'impactWrench',
    driveSize: 'square12.5',
    supply: 'battery',
    properties,
    notRankedBecause: null,
    ...change,
  };
}

/** What a trial measured, by measure key. */
export interface DemoTrial extends Partial<Omit<ScoredTrial, 'key' | 'values'>> {
  readonly name: string;
  readonly values: readonly (readonly [
    { readonly step: ComparedStep; readonly measure: TrialMeasure },
    number | null,
  ])[];
}

export const torqueTrials = (
  name: string,
  torquesNm: readonly (number | null)[],
  change: Partial<DemoTrial> = {},
): DemoTrial[] =>
  torquesNm.map((torqueNm, index) => ({
    name,
    trialId: `${name}-${index + 1}`,
    values: [[forwardTorque, torqueNm]],
    ...change,
  }));

export interface DemoInput {
  readonly schemes: readonly SchemeVersion[];
  readonly subjects: readonly StandingsSubject[];
  readonly trials: readonly DemoTrial[];
  readonly rest?: Partial<Pick<StandingsInput, 'table' | 'rates' | 'calibrations' | 'dayToDay'>>;
}

export function demoInput({ schemes, subjects, trials, rest = {} }: DemoInput): StandingsInput {
  const measures = measuresOfSchemes(schemes);
  return {
    table: {
      id: 'table',
      name: 'Demo table',
      schemeId: schemes[0]?.schemeId ?? '',
      toolClasses: [],
      driveSizes: [],
      supplies: [],
      isSimulated: true,
      gate: 'goodOnly',
      currency: 'EUR',
      isArchived: false,
    },
    schemes: [...schemes],
    measures,
    subjects: [...subjects],
    trials: trials.map(({ name, values, ...trial }, index) => ({
      trialId: `trial-${index + 1}`,
      key: keyOf(name),
      sessionId: 'session 1',
      startedAt: `2026-03-10T09:${String(index % 60).padStart(2, '0')}:00.000Z`,
      evaluationId: 1,
      calibrationId: 'cal 1',
      direction: 'forward',
      leftOutBecause: null,
      ...trial,
      values: values.map(([measure, value]) => ({
        measure: measures.indexOf(trialMeasureKey(measure)),
        value,
      })),
    })),
    rates: [],
    calibrations: [{ calibrationId: 'cal 1', label: 'Demo calibration 1', uncertainty: 0.002 }],
    dayToDay: measures.map(() => null),
    ...rest,
  };
}
