import type { RequestResult } from '../../api-contract.ts';
import { trialsLeftWords } from './calibration-sentences.ts';

export interface ValidityRow {
  readonly name: string;
  readonly value: string;
  readonly note: string | null;
}

/** How long a calibration holds, how much of that is used, and by what it was superseded. Days stand as `formatDay` writes them. */
export function validityRows(
  {
    version,
    trialCount,
    madeWithCount,
  }: Pick<RequestResult<'getCalibrationReport'>, 'version' | 'trialCount' | 'madeWithCount'>,
  format: { readonly day: (day: string) => string; readonly instant: (instant: string) => string },
): ValidityRow[] {
  const { validUntil, validForTrials, supersededAt, supersedeReason } = version;
  const limits = [
    ...(validUntil === null ? [] : [`until ${format.day(validUntil)}`]),
    ...(validForTrials === null ? [] : [`for ${validForTrials} trials`]),
  ];
  const left =
    validForTrials === null ? '' : `, ${trialsLeftWords(Math.max(validForTrials - madeWithCount, 0))}`;
  return [
    {
      name: 'Holds',
      value: limits.length === 0 ? 'no end was set' : limits.join(' and '),
      note: 'and only until a check fails, an overload, a repair, or a change of transducer, cable, amplifier or gain',
    },
    { name: 'Trials made with it', value: `${madeWithCount}${left}`, note: null },
    { name: 'Trials read by it', value: String(trialCount), note: null },
    ...(supersededAt === null
      ? []
      : [
          {
            name: 'Superseded',
            value: `${format.instant(supersededAt)}: ${supersedeReason ?? 'no reason stored'}`,
            note: null,
          },
        ]),
  ];
}
