import { describeSetup } from '../../../shared-lib/run-sheet/describe-entry.ts';
import type { SetupAsTested } from '../../../shared-lib/run-sheet/setup-model.ts';
import { setupAsTested, type BenchItems } from '../../../shared-lib/run-sheet/setup-as-tested.ts';

/** Only the name of the tool is known. */
export const NO_SETUP = 'none';

export interface RelabelForm {
  readonly setupKey: string;
  readonly toolName: string;
  readonly reason: string;
}

export interface SetupOption {
  readonly key: string;
  readonly label: string;
  /** Null: nothing on this bench says of which tool it is, so the name is typed. */
  readonly toolName: string | null;
}

/**
 * The setups to choose from; archived ones behind the others, since an old trial may well be one of them. `own`: the setup that the
 * trial has, which stands first where this bench does not have it, as that of a trial of another bench.
 */
export function setupOptions(items: BenchItems, own: SetupAsTested | null): SetupOption[] {
  const options = items.setups.flatMap((setup) => {
    const tested = setupAsTested(setup, items);
    if (tested === null) return [];
    const { setupId, toolName } = tested;
    const label = describeSetup(tested);
    const option = { key: setupId, toolName, label: setup.isArchived ? `${label} (archived)` : label };
    return [{ option, isArchived: setup.isArchived }];
  });
  const ofBench = options
    .toSorted((one, other) => Number(one.isArchived) - Number(other.isArchived))
    .map(({ option }) => option);
  if (own === null || ofBench.some(({ key }) => key === own.setupId)) return ofBench;
  const kept = { key: own.setupId, label: `${describeSetup(own)} (not on this bench)`, toolName: null };
  return [kept, ...ofBench];
}

/** Shorter than this says nothing (the contract's limit). */
const MIN_REASON_LENGTH = 3;

export type RelabelReading =
  | { readonly toolName: string; readonly setupId: string | null; readonly reason: string }
  | { readonly missing: string };

/** What the form comes to, or what it still lacks, as a sentence. */
export function readRelabelForm(form: RelabelForm, options: readonly SetupOption[]): RelabelReading {
  const chosen = options.find(({ key }) => key === form.setupKey);
  const toolName = chosen?.toolName ?? form.toolName.trim();
  const reason = form.reason.trim();
  if (toolName === '') return { missing: 'Name the tool, or choose the setup.' };
  if (reason.length < MIN_REASON_LENGTH) return { missing: 'Say why, in at least three characters.' };
  return { toolName, setupId: chosen?.key ?? null, reason };
}
