import type { Distributions } from '../calibration/distributions.ts';
import type { VariancePart } from './combine-variances.ts';
import type { Scatter } from './comparison-model.ts';
import { findCompleteRounds, isScatter, twoWayResidual } from './complete-rounds.ts';
import { countOf, sentenceCase } from './comparison-words.ts';
import { groupBy, type Observation } from './observations.ts';
import { noScatter, pooledSentence, roundsSentence } from './scatter.ts';
import { meanOf } from './sums.ts';
import { findWide, poolOf, scatterWithinSessions } from './within-sessions.ts';

export interface FieldMember {
  readonly key: string;
  /** Trials behind the mean. */
  readonly count: number;
  /** Of ln(measure). */
  readonly mean: number;
  /** What its mean is known by, within sessions; null: nothing. */
  readonly part: VariancePart | null;
  /** Whether it scatters clearly more than the others and stands by its own scatter. */
  readonly isWide: boolean;
}

export interface FieldScatter {
  readonly scatter: Scatter;
  readonly members: readonly FieldMember[];
  readonly used: readonly Observation[];
  readonly isByRounds: boolean;
  readonly cautions: string[];
  /** Of the squared standard error of the difference of two, within sessions; empty: nothing is known. */
  partsOf(one: FieldMember, other: FieldMember): VariancePart[];
}

/** The scatter that all pairs of a field share: of complete rounds where all stand in them and nobody scatters more, else pooled. */
export function scatterOfField(
  observations: readonly Observation[],
  keys: readonly string[],
  distributions: Pick<Distributions, 'fUpperTail'>,
): FieldScatter {
  const own = scatterWithinSessions(observations);
  const wide = findWide(own, distributions, own.length);
  const even = observations.filter(({ key }) => keys.includes(key) || !wide.has(key));
  const rounds = keys.length < 2 || keys.some((key) => wide.has(key)) ? null : findCompleteRounds(even, keys);
  const rows = rounds === null ? [] : [...rounds.byContender.values()];
  const residual = rounds === null ? null : twoWayResidual(rows, distributions);
  if (rounds !== null && residual !== null) {
    const { variance, degreesOfFreedom, roundEffect } = residual;
    const used = rounds.used.filter(({ key }) => keys.includes(key));
    const outside = observations.filter(({ key }) => keys.includes(key)).length - used.length;
    return {
      scatter: {
        way: 'rounds',
        standardDeviation: Math.sqrt(variance),
        degreesOfFreedom,
        contenderCount: rows.length,
        roundEffect,
        sentence: roundsSentence(residual, rounds, used.length > keys.length * rounds.roundCount),
      },
      members: keys.map((key) => ({
        key,
        count: used.filter((observation) => observation.key === key).length,
        mean: meanOf(rounds.byContender.get(key) ?? []),
        part: { variance: variance / rounds.roundCount, degreesOfFreedom },
        isWide: false,
      })),
      used,
      isByRounds: true,
      cautions:
        outside === 0
          ? []
          : [
              `${sentenceCase(countOf(outside, 'run lies', 'runs lie'))} outside of complete rounds and ${outside === 1 ? 'does' : 'do'} not take part.`,
            ],
      partsOf: () => [{ variance: (2 * variance) / rounds.roundCount, degreesOfFreedom }],
    };
  }

  const lent = own.filter(({ key, degreesOfFreedom }) => degreesOfFreedom > 0 && !wide.has(key));
  const { squares, degreesOfFreedom } = poolOf(lent);
  const pooled = squares / degreesOfFreedom;
  const isKnown = degreesOfFreedom > 0 && isScatter(Math.sqrt(pooled));
  const byKey = groupBy(observations, ({ key }) => key);
  const members = keys.map((key): FieldMember => {
    const ln = (byKey.get(key) ?? []).map((observation) => observation.ln);
    const isWide = wide.has(key);
    const ownScatter = own.find((one) => one.key === key);
    const part =
      isWide && ownScatter !== undefined
        ? {
            variance: ownScatter.squares / ownScatter.degreesOfFreedom / ln.length,
            degreesOfFreedom: ownScatter.degreesOfFreedom,
          }
        : isKnown
          ? { variance: pooled / ln.length, degreesOfFreedom }
          : null;
    return { key, count: ln.length, mean: meanOf(ln), part, isWide };
  });
  const wideCount = members.filter(({ isWide }) => isWide).length;
  return {
    scatter: isKnown
      ? {
          way: 'pooled',
          standardDeviation: Math.sqrt(pooled),
          degreesOfFreedom,
          contenderCount: lent.length,
          roundEffect: null,
          sentence: pooledSentence(pooled, degreesOfFreedom, lent.length),
        }
      : noScatter(),
    members,
    used: observations.filter(({ key }) => keys.includes(key)),
    isByRounds: false,
    cautions:
      wideCount === 0
        ? []
        : [
            `${sentenceCase(countOf(wideCount, 'setup scatters', 'setups scatter'))} clearly more than the others and ${wideCount === 1 ? 'stands by its' : 'stand by their'} own scatter.`,
          ],
    partsOf: (one, other) => {
      if (one.part === null || other.part === null) return [];
      if (one.isWide || other.isWide) return [one.part, other.part];
      return [{ variance: one.part.variance + other.part.variance, degreesOfFreedom }];
    },
  };
}
