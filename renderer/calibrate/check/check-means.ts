import type { CheckMeans } from '../../../shared-lib/calibration/daily-check-model.ts';
import type { Standards } from '../../../shared-lib/calibration/standards-model.ts';
import type { Direction } from '../../../shared-lib/trial/step-model.ts';

/** What is picked from the lists for a check, before it is whole. */
export interface MeansChoice {
  readonly kind: CheckMeans['kind'];
  readonly sense: Direction;
  readonly weightIds: readonly string[];
  readonly armId: string | null;
  readonly siteId: string | null;
}

/** The means as chosen, or what is still needed in the order of the form. */
export function readMeans(
  choice: MeansChoice,
  standards: Standards,
): { readonly means: CheckMeans } | { readonly missing: readonly string[] } {
  if (choice.kind === 'shunt') return { means: { kind: 'shunt' } };
  const weights = standards.weights.filter(({ id }) => choice.weightIds.includes(id));
  const arm = standards.arms.find(({ id }) => id === choice.armId);
  const site = standards.sites.find(({ id }) => id === choice.siteId);
  const missing = [
    ...(weights.length === 0 ? ['a weight'] : []),
    ...(arm === undefined ? ['the arm'] : []),
    ...(site === undefined ? ['the place'] : []),
  ];
  if (weights.length === 0 || arm === undefined || site === undefined) return { missing };
  return { means: { kind: 'weight', sense: choice.sense, weights, arm, site } };
}

/** The choice to begin with: what was used last, or the first of each list where there is only one. */
export function firstChoice(
  usual: CheckMeans | null,
  standards: Standards,
  senses: readonly Direction[],
): MeansChoice {
  const only = (list: readonly { readonly id: string }[]) =>
    list.length === 1 ? (list[0]?.id ?? null) : null;
  const none: MeansChoice = {
    kind: usual?.kind ?? 'weight',
    sense: senses[0] ?? 'forward',
    weightIds: standards.weights.length === 1 ? standards.weights.map(({ id }) => id) : [],
    armId: only(standards.arms),
    siteId: only(standards.sites),
  };
  if (usual === null || usual.kind === 'shunt') return none;
  return {
    kind: 'weight',
    sense: usual.sense,
    weightIds: usual.weights.map(({ id }) => id),
    armId: usual.arm.id,
    siteId: usual.site.id,
  };
}

export function totalMassKg(weights: readonly { readonly massKg: number }[]): number {
  return weights.reduce((sum, { massKg }) => sum + massKg, 0);
}

/** What was used last, as the lists have it today; null where something of it is no longer there. */
export function usualMeansToday(usual: CheckMeans | null, standards: Standards): CheckMeans | null {
  if (usual === null) return null;
  const reading = readMeans(firstChoice(usual, standards, []), standards);
  if (!('means' in reading)) return null;
  const { means } = reading;
  const isWhole =
    usual.kind === 'shunt' || (means.kind === 'weight' && means.weights.length === usual.weights.length);
  return isWhole ? means : null;
}
