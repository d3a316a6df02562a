import type { TorqueUnit } from '../api-contract.ts';

/** What every report is told beside its subject. */
export interface ReportContext {
  readonly torqueUnit: TorqueUnit;
  /** ISO 8601. */
  readonly madeAt: string;
  readonly softwareVersion: string;
  /** By which figures are measured now. */
  readonly definitionVersion: number;
  readonly benchName: string;
  /** A stored instant so that readers elsewhere understand it too: with its offset from UTC. */
  readonly formatInstant: (instant: string) => string;
}

/** Head of a report, the same for all kinds. */
export function headOf(context: ReportContext): {
  readonly madeAt: string;
  readonly softwareVersion: string;
  readonly benchName: string;
  readonly torqueUnit: TorqueUnit;
} {
  const { madeAt, softwareVersion, benchName, torqueUnit } = context;
  return { madeAt, softwareVersion, benchName, torqueUnit };
}
