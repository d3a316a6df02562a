import { formatNumber } from '../../shared-lib/format-quantity.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { Button } from '../ui/Button.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { ActionRow } from '../ui/Panel.tsx';
import { saveFile } from '../ui/save-file.ts';
import { countsCsv } from './counts-csv.ts';

export function CountsDownload({ record }: { readonly record: TrialRecord }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const trialId = record.summary.id;
  const { lostSlots } = record;
  const save = () =>
    run(async () => {
      const counts = await connection.request('getTrialCounts', { trialId });
      saveFile(`trial-${trialId}-counts.csv`, 'text/csv', countsCsv(counts));
    });
  return (
    <>
      <ActionRow>
        <Button onPress={() => void save()} isPending={isBusy}>
          Save the raw counts as CSV
        </Button>
        {lostSlots === 0 ? null : (
          <span className="trial-aside">
            The {formatNumber(lostSlots, 0)} lost samples have no rows; the index keeps their places.
          </span>
        )}
      </ActionRow>
      <FailureNotice error={error} />
    </>
  );
}
