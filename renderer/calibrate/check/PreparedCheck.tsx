import type { CheckMeans } from '../../../shared-lib/calibration/daily-check-model.ts';
import { meansWords } from '../../../shared-lib/calibration/words/check-words.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { FindingsList } from '../result/FindingsList.tsx';
import type { NewReference } from './check-steps.ts';
import { CheckRun } from './CheckRun.tsx';

interface PreparedCheckProps {
  readonly means: CheckMeans;
  readonly newReference: NewReference;
  /** Other means are wanted. */
  readonly onChange: () => void;
  readonly onRecorded: () => void;
}

/** The check with these means, once it is known that nothing speaks against hanging them. Keyed by the means. */
export function PreparedCheck({ means, newReference, onChange, onRecorded }: PreparedCheckProps) {
  const { result: load, error } = useRequest('previewDailyCheck', { means });
  if (load === null && error === null) return null;
  if (load === null || load.findings.some(({ severity }) => severity === 'stop')) {
    return (
      <Panel title="Check now" lead={meansWords(means)}>
        <FailureNotice error={error} />
        <FindingsList findings={load?.findings ?? []} label="What speaks against it" />
        <ActionRow>
          <Button look="primary" onPress={onChange}>
            Check with something else
          </Button>
        </ActionRow>
      </Panel>
    );
  }
  return (
    <CheckRun
      means={means}
      load={load}
      newReference={newReference}
      onChange={onChange}
      onRecorded={onRecorded}
    />
  );
}
