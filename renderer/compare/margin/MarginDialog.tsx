import { useState } from 'react';
import type { TrialMeasure } from '../../../shared-lib/comparison/trial-measure.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { Dialog } from '../../ui/Dialog.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { quantityReader, valueOf } from '../../ui/read-quantity.ts';
import { percentWords } from '../../../shared-lib/comparison/words/compare-sentences.ts';
import { marginSentence, nextMarginPercent } from './margin-sentences.ts';

/** As the contract takes it. */
const readMargin = quantityReader({ kind: 'percent', unit: 'percent', min: 0.1, max: 100 });

interface MarginButtonProps {
  readonly figure: TrialMeasure['figure'];
  readonly figureName: string;
  readonly usedPercent: number;
}

/** The difference that matters, and the way to choose another for what is still to be pulled. */
export function MarginButton({ figure, figureName, usedPercent }: MarginButtonProps) {
  const [isOpen, setIsOpen] = useState(false);
  return (
    <>
      <Button look="quiet" onPress={() => setIsOpen(true)}>
        Margin ±{percentWords(usedPercent)}: change
      </Button>
      {isOpen ? (
        <MarginDialog
          figure={figure}
          figureName={figureName}
          usedPercent={usedPercent}
          onClose={() => setIsOpen(false)}
        />
      ) : null}
    </>
  );
}

function MarginDialog(props: MarginButtonProps & { readonly onClose: () => void }) {
  const { figure, figureName, usedPercent, onClose } = props;
  const connection = useConnection();
  const action = useAction();
  const { result, error } = useRequest('listMargins', {}, 'standingsChanged');
  const [typed, setTyped] = useState<string | null>(null);
  const shown = typed ?? (result === null ? '' : percentWords(nextMarginPercent(result, figure)));
  const value = valueOf(readMargin(shown));
  const save = () =>
    void action.run(async () => {
      if (value === null) return;
      await connection.request('setMargin', { figure, marginPercent: value });
      onClose();
    });
  return (
    <Dialog
      title={`The difference that matters: ${figureName}`}
      isOpen
      onClose={onClose}
      actions={
        <>
          <Button look="primary" onPress={save} isDisabled={value === null} isPending={action.isBusy}>
            Use it from the next session on
          </Button>
          <Button onPress={onClose}>Leave it</Button>
        </>
      }
    >
      <p>
        A difference within the margin is of no consequence to you. It has to be chosen before the runs, so
        that nobody chooses it by their outcome: a new one holds for sessions that begin after it, and
        comparisons with an earlier session keep theirs.
      </p>
      {result === null ? null : <p>{marginSentence(result, figure, usedPercent, formatDateTime)}</p>}
      <FailureNotice error={action.error ?? error} />
      <QuantityField
        label="Margin from the next session on"
        typed={shown}
        onTyped={setTyped}
        parse={readMargin}
        isRequired
      />
    </Dialog>
  );
}
