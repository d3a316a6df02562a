import type { CurveMapping } from '../../../../shared-lib/exchange/exchange-requests.ts';

export type ColumnUse = 'time' | 'torque' | 'nothing';

export function columnUse({ timeColumn, torqueColumns }: CurveMapping, column: number): ColumnUse {
  if (column === timeColumn) return 'time';
  return torqueColumns.includes(column) ? 'torque' : 'nothing';
}

/** At least one column stays torque: the last one that is taken away leaves the mapping as it was. */
export function withColumnUse(mapping: CurveMapping, column: number, use: ColumnUse): CurveMapping {
  const others = mapping.torqueColumns.filter((other) => other !== column);
  const torqueColumns = use === 'torque' ? [...others, column].toSorted((a, b) => a - b) : others;
  if (torqueColumns.length === 0 || torqueColumns.length > 20) return mapping;
  const timeColumn = use === 'time' ? column : mapping.timeColumn === column ? null : mapping.timeColumn;
  return { ...mapping, timeColumn, torqueColumns };
}
