import { DemoItems } from '../../run-sheet/items/DemoItems.tsx';
import { useBenchItems } from '../../run-sheet/items/use-bench-items.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';

/** On the simulated bench the invented tools can be put in from here too. */
export function DemoTools() {
  const { items, error, save } = useBenchItems();
  return (
    <>
      <FailureNotice error={error} />
      {items === null ? null : <DemoItems items={items} save={save} />}
    </>
  );
}
