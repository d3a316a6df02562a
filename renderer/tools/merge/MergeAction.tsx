import { useState } from 'react';
import type { CatalogueTool } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { Button } from '../../ui/Button.tsx';
import { Dialog } from '../../ui/Dialog.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { isListed } from '../list/tool-filter.ts';
import type { Catalogue } from '../use-catalogue.ts';
import { entryWords } from './merge-sentences.ts';
import { MergeDialog } from './MergeDialog.tsx';

interface MergeActionProps {
  readonly tool: CatalogueTool;
  readonly catalogue: Catalogue;
}

/** Merges a tool with any other one, for twins that nothing gives away. */
export function MergeAction({ tool, catalogue }: MergeActionProps) {
  const [isChoosing, setIsChoosing] = useState(false);
  const [other, setOther] = useState<CatalogueTool | null>(null);
  const others = catalogue.tools.filter(
    (candidate) => candidate.tool.id !== tool.tool.id && isListed(candidate),
  );
  if (others.length === 0) return null;
  const close = () => {
    setIsChoosing(false);
    setOther(null);
  };
  return (
    <>
      <Button onPress={() => setIsChoosing(true)}>Merge …</Button>
      {isChoosing && other === null ? (
        <Dialog
          title={`What is the same tool as ${tool.tool.name}?`}
          isOpen
          onClose={close}
          actions={<Button onPress={close}>Leave it as it is</Button>}
        >
          <SelectField
            label="The other entry"
            options={others.map((candidate) => ({
              key: candidate.tool.id,
              label: candidate.tool.name,
              note: entryWords(candidate),
            }))}
            selected={null}
            onSelect={(toolId) => setOther(others.find((candidate) => candidate.tool.id === toolId) ?? null)}
          />
        </Dialog>
      ) : null}
      {other === null ? null : <MergeDialog pair={[tool, other]} onClose={close} />}
    </>
  );
}
