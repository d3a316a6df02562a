import { useStatus } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { demoItems } from './demo-items.ts';
import type { BenchItem, BenchItems } from './use-bench-items.ts';

interface DemoItemsProps {
  readonly items: BenchItems;
  readonly save: (item: BenchItem) => Promise<void>;
}

/** On the simulated bench nobody owns tools; invented ones fill the lists at one press. Gone once there is a setup. */
export function DemoItems({ items, save }: DemoItemsProps) {
  const isSimulated = useStatus()?.amplifier.source === 'simulated';
  const { run, isBusy, error } = useAction();
  if (!isSimulated || items.setups.length > 0) return null;
  const fill = () =>
    run(async () => {
      for (const item of demoItems(() => crypto.randomUUID())) await save(item);
    });
  return (
    <>
      <Notice
        kind="information"
        actions={
          <Button look="primary" isPending={isBusy} onPress={() => void fill()}>
            Put in demo tools
          </Button>
        }
      >
        The simulated bench pulls four invented tools. They can be put in here with a pack and a setup each,
        all marked “demo”.
      </Notice>
      <FailureNotice error={error} />
    </>
  );
}
