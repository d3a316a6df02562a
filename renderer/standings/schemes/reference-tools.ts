import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import type { Standings } from '../../../shared-lib/standings/standings-model.ts';
import type { SelectOption } from '../../ui/SelectField.tsx';

/** The tools that a share can be taken of. What a scheme has stored is a key that may count under another one since. */
export interface ReferenceTools {
  /** The key by which a stored or a chosen one counts now. */
  readonly currentKeyOf: (key: string) => string;
  readonly labelOf: (key: string) => string;
  /** What can be chosen, under current keys; the one that is chosen (null: none) is among them even where the table lacks it. */
  readonly optionsFor: (chosenKey: string | null) => SelectOption<string>[];
}

type Ranked = Pick<Standings, 'rows' | 'notRanked'>;

/**
 * `stored`: of the versions of the scheme. `ofDraft`: the table under what stands in the form, null while that is not known; a
 * tool may count there by its setup and in the table as it is (`ofTable`) by its name only.
 */
export function referenceTools(
  stored: RequestResult<'listSchemeVersions'>['references'],
  { ofDraft, ofTable }: { readonly ofDraft: Ranked | null; readonly ofTable: Ranked | null },
): ReferenceTools {
  const byKey = new Map(stored.map((reference) => [reference.key, reference]));
  const offered = ofDraft ?? ofTable;
  const options = optionsOf(offered);
  const labels = new Map(
    [...optionsOf(ofTable), ...optionsOf(ofDraft)].map(({ key, label }) => [key, label]),
  );
  const currentKeyOf = (key: string): string => byKey.get(key)?.currentKey ?? key;
  const labelOf = (key: string): string =>
    byKey.get(key)?.label ??
    labels.get(key) ??
    (offered === null ? 'the reference tool' : 'a tool that is no longer here');
  return {
    currentKeyOf,
    labelOf,
    optionsFor(chosenKey) {
      const key = chosenKey === null ? null : currentKeyOf(chosenKey);
      if (chosenKey === null || key === null || options.some((option) => option.key === key)) return options;
      const label = labelOf(chosenKey);
      return [...options, { key, label: offered === null ? label : `${label} (not in this table)` }];
    },
  };
}

function optionsOf(ranked: Ranked | null): SelectOption<string>[] {
  return [...(ranked?.rows ?? []), ...(ranked?.notRanked ?? [])].map(({ contender: { key, label } }) => ({
    key,
    label,
  }));
}
