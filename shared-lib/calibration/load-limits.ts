import { formatTorqueInBothUnits } from '../format-quantity.ts';
import type { Finding } from './result-model.ts';

export interface LoadLimits {
  readonly capacityNm: number | null;
  readonly rigLimitNm: number | null;
}

/**
 * What speaks against a load before it is hung: beyond capacity or rig it is stopped, and where the capacity is not known
 * nobody can tell. `what` begins the sentence, such as "The top level"; torque in N m.
 */
export function loadLimitFindings(
  what: string,
  torqueNm: number,
  { capacityNm, rigLimitNm }: LoadLimits,
): Finding[] {
  const limits = [
    ['over-capacity', 'the capacity of the transducer', capacityNm],
    ['over-rig-limit', 'the limit of the rig', rigLimitNm],
  ] as const;
  const exceeded = limits.flatMap(([code, words, limitNm]): Finding[] =>
    limitNm === null || torqueNm <= limitNm
      ? []
      : [
          {
            code,
            severity: 'stop',
            sense: null,
            sentence: `${what} gives ${torqueWords(torqueNm)}, more than ${words}, ${torqueWords(limitNm)}. Loading beyond it can damage or break something and hurt people: take fewer weights or a shorter arm.`,
          },
        ],
  );
  if (capacityNm !== null) return exceeded;
  return [
    ...exceeded,
    {
      code: 'capacity-unknown',
      severity: 'look',
      sense: null,
      sentence: `The capacity of the transducer is not entered, so nobody can tell whether it bears ${torqueWords(torqueNm)}. Read it off its plate or data sheet and enter it in Setup.`,
    },
  ];
}

/** In both units, with four digits, so that a small torque does not read as 0.0. */
export function torqueWords(torqueNm: number): string {
  const magnitude = Math.abs(torqueNm);
  const decimals = magnitude > 0 ? Math.min(Math.max(3 - Math.floor(Math.log10(magnitude)), 0), 4) : 0;
  return formatTorqueInBothUnits(torqueNm, decimals);
}
