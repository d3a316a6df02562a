import type { SchemeFinding, Term } from './scheme-model.ts';

/** What speaks against the way from a value to points, whatever the value is of. */
export function checkPointsOf(term: Term, isNormalised: boolean): SchemeFinding[] {
  const { how, better, factor, cap, missing, id, label } = term;
  const findings: SchemeFinding[] = [];
  const add = (severity: SchemeFinding['severity'], sentence: string): void => {
    findings.push({ severity, termId: id, sentence: `${label}: ${sentence}` });
  };
  if (factor === 0) add('note', 'its factor is zero, so it is shown and decides nothing.');
  const size =
    how.way === 'steps' ? Math.max(...how.steps.map(({ points }) => Math.abs(points))) : Math.abs(how.points);
  if (size === 0) add('caution', 'it gives zero points to everybody and decides nothing.');
  if (how.way === 'shareOfBest') {
    add(
      'caution',
      'a share of the best moves for everybody when a better tool comes in or the best one leaves. A share of a reference, or points per unit, stay.',
    );
  }
  if (how.way === 'steps') {
    const { steps } = how;
    if (steps.some(({ from }, index) => index > 0 && !(from > (steps[index - 1]?.from ?? 0)))) {
      add(
        'stop',
        'the steps do not rise, so it is not clear which one a value has reached. Put them in order, each from once.',
      );
    }
    const turn = better === 'more' ? 1 : -1;
    if (
      steps.some(({ points }, index) => index > 0 && turn * (points - (steps[index - 1]?.points ?? 0)) < 0)
    ) {
      add(
        'caution',
        better === 'more'
          ? 'a higher step brings fewer points than a lower one.'
          : 'less is better, but a higher step brings more points than a lower one.',
      );
    }
  }
  const isTurned = pointsSign(term) * Math.sign(factor) < 0;
  if (isTurned && how.way !== 'steps') {
    add(
      'caution',
      factor < 0
        ? `its factor is below zero, which turns “${better} is better” over.`
        : `its points are below zero, which turns “${better} is better” over.`,
    );
  }
  if (cap !== null && mostPoints(term) <= 0) {
    add(
      'caution',
      'the cap is above zero, but the term never brings points above zero, so the cap never acts. A cap limits what a term brings, not what it takes.',
    );
  }
  if (missing === 'zero') {
    if (mostPoints(term) <= 0) {
      add(
        'caution',
        'whoever has no value gets zero points, the best that this term can bring: a missing value would be an advantage. Choose “not ranked” or another way.',
      );
    } else {
      add(
        'note',
        'whoever has no value gets zero points. That is marked in the table as missing, not measured.',
      );
    }
  } else if (missing === 'leaveOut' && !isNormalised) {
    add(
      mostPoints(term) <= 0 ? 'caution' : 'note',
      mostPoints(term) <= 0
        ? 'whoever has no value is not charged for it, which is an advantage. Choose “not ranked” or divide by the sum of the factors.'
        : 'left out of a sum, a missing value weighs as zero points would. Divide by the sum of the factors where it shall not count against anybody.',
    );
  }
  return findings;
}

/** 1 where a better value gets more raw points by the term's own words, -1 where its points turn that over. */
function pointsSign({ how }: Term): number {
  return how.way === 'steps' ? 1 : Math.sign(how.points);
}

/** The most points that the term can bring a positive value: 0 or Infinity unless by steps. */
function mostPoints({ how, better, factor }: Term): number {
  switch (how.way) {
    case 'perUnit':
      return (better === 'more' ? 1 : -1) * how.points * factor > 0 ? Infinity : 0;
    case 'shareOfBest':
    case 'shareOfReference':
      return how.points * factor > 0 ? Infinity : 0;
    case 'steps':
      return Math.max(0, ...how.steps.map(({ points }) => points * factor));
  }
}
