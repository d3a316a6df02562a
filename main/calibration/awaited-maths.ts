import type { Finding } from '../../shared-lib/calibration/result-model.ts';

export function checkSetup(_: unknown): Finding[] {
  return [];
}
