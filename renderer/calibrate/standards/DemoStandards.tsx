import type { Standard, Standards } from '../../../shared-lib/calibration/standards-model.ts';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { demoStandards } from './demo-standards.ts';

export interface DemoStandardsProps {
  readonly standards: Standards;
  readonly save: (standard: Standard) => Promise<void>;
}

/** On the simulated bench nobody owns weights; invented ones fill the lists at one press. Gone once there are some. */
export function DemoStandards({ standards, save }: DemoStandardsProps) {
  const { run, isBusy, error } = useAction();
  if (standards.weights.length + standards.arms.length + standards.sites.length > 0) return null;
  const fill = () =>
    run(async () => {
      for (const standard of demoStandards(() => crypto.randomUUID())) await save(standard);
    });
  return (
    <>
      <Notice
        kind="information"
        actions={
          <Button look="primary" isPending={isBusy} onPress={() => void fill()}>
            Put in demo weights
          </Button>
        }
      >
        The simulated bench can be calibrated with invented weights: six of 20 kg, two arms and a place, all
        marked “demo”.
      </Notice>
      <FailureNotice error={error} />
    </>
  );
}
