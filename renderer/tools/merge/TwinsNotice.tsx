import { useState } from 'react';
import type { LikelyTwin } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { Button } from '../../ui/Button.tsx';
import { Notice } from '../../ui/Notice.tsx';
import type { Catalogue } from '../use-catalogue.ts';
import { twinsTitle } from './merge-sentences.ts';
import { MergeDialog } from './MergeDialog.tsx';

/** Entries that look like one tool. Nothing is merged by itself. */
export function TwinsNotice({ catalogue }: { readonly catalogue: Catalogue }) {
  const [merging, setMerging] = useState<LikelyTwin | null>(null);
  const twins = catalogue.likelyTwins.filter((twin) => pairOf(twin, catalogue) !== null);
  const pair = merging === null ? null : pairOf(merging, catalogue);
  if (twins.length === 0 && pair === null) return null;
  return (
    <>
      <Notice kind="information" live="status">
        {twinsTitle(twins.length)} Their trials count apart until they are merged.
        <ul className="tool-twins">
          {twins.map((twin) => (
            <li key={twin.toolIds.join(' ')}>
              <span>
                {namesOf(twin, catalogue)}: {twin.because}
              </span>
              <Button aria-label={`Merge ${namesOf(twin, catalogue)}`} onPress={() => setMerging(twin)}>
                Merge …
              </Button>
            </li>
          ))}
        </ul>
      </Notice>
      {pair === null ? null : <MergeDialog pair={pair} onClose={() => setMerging(null)} />}
    </>
  );
}

function pairOf({ toolIds }: LikelyTwin, { tools }: Catalogue) {
  const [first, second] = toolIds.map((toolId) => tools.find(({ tool }) => tool.id === toolId));
  return first === undefined || second === undefined ? null : ([first, second] as const);
}

function namesOf(twin: LikelyTwin, catalogue: Catalogue): string {
  const pair = pairOf(twin, catalogue);
  return pair === null ? '' : pair.map(({ tool }) => tool.name).join(' and ');
}
