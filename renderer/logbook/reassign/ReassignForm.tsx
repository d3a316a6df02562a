import { useEffect, useRef, useState } from 'react';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { CompareView } from '../../calibrate/versions/CompareView.tsx';
import { versionOption } from '../../calibrate/versions/version-option.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, FieldGrid, Panel } from '../../ui/Panel.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import type { Transducer } from '../../../shared-lib/trial/trial-model.ts';
import type { VersionsInUse } from './matching-trials.ts';
import { inUseSentence, labelOf, nothingToChooseSentence } from './reassign-sentences.ts';

interface ReassignFormProps {
  readonly trialIds: readonly string[];
  /** There are more than can be reassigned at once. */
  readonly isCutShort: boolean;
  readonly versionsInUse: VersionsInUse;
  /** That they were made on. */
  readonly transducer: Pick<Transducer, 'id' | 'name'>;
  /** Where these trials were chosen. */
  readonly back: string;
}

/** Shorter than this says nothing (the contract's limit). */
const MIN_REASON_LENGTH = 3;

export function ReassignForm({ trialIds, isCutShort, versionsInUse, transducer, back }: ReassignFormProps) {
  const connection = useConnection();
  const action = useAction();
  const { result, error } = useRequest('listCalibrations', {});
  const [targetId, setTargetId] = useState<string | null>(null);
  const [reason, setReason] = useState('');
  const [changedCount, setChangedCount] = useState<number | null>(null);
  const doneRef = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (changedCount !== null) doneRef.current?.focus();
  }, [changedCount]);

  const all = result?.calibrations ?? [];
  const versions = all.filter(({ transducerId }) => transducerId === transducer.id);
  const nothingToChoose =
    result === null ? null : nothingToChooseSentence(versions, versionsInUse, transducer.name);
  const target = versions.find(({ id }) => id === targetId) ?? null;
  const others = versionsInUse.counts.filter(({ calibrationId }) => calibrationId !== targetId);
  const isNothingToDo = target !== null && others.length === 0 && versionsInUse.lookedAt === trialIds.length;
  const isOne = trialIds.length === 1;
  const trials = isOne ? 'this trial' : `${formatNumber(trialIds.length, 0)} trials`;

  const reassign = async (): Promise<void> => {
    if (target === null) return;
    const done = await connection.request('reassignTrials', {
      trialIds: [...trialIds],
      calibrationId: target.id,
      reason: reason.trim(),
    });
    setChangedCount(done.changedCount);
  };

  if (changedCount !== null && target !== null) {
    return (
      <div ref={doneRef} tabIndex={-1} className="logbook-done">
        <Notice kind="information" live="status" actions={<LinkButton href={back}>Go back</LinkButton>}>
          {changedCount === 1 ? '1 trial is' : `${formatNumber(changedCount, 0)} trials are`} read by “
          {target.label}” now. The figures from before stay in the trail of each trial, with your reason.
        </Notice>
      </div>
    );
  }
  return (
    <>
      <FailureNotice error={error} />
      <Panel
        title={isOne ? 'One trial' : `${formatNumber(trialIds.length, 0)} trials`}
        lead={result === null ? undefined : inUseSentence(versionsInUse, all, trialIds.length)}
      >
        {isCutShort ? (
          <Notice kind="caution">
            The filter finds more than can be reassigned at once; these are the newest. Narrow the filter, or
            do the older ones after these.
          </Notice>
        ) : null}
        {nothingToChoose === null ? null : <Notice kind="information">{nothingToChoose}</Notice>}
        <FieldGrid>
          <SelectField
            label={isOne ? 'Read it by' : 'Read them by'}
            options={versions.map(versionOption)}
            selected={targetId}
            onSelect={setTargetId}
          />
        </FieldGrid>
      </Panel>
      {target === null ? null : (
        <Panel
          title="What would change"
          lead="A what-if: nothing has been changed yet. The counts stay what they are in any case."
        >
          {isNothingToDo ? <p>{isOne ? 'It is' : 'They are'} read by this version already.</p> : null}
          {others.map(({ calibrationId, count }) => (
            <section key={calibrationId} className="reassign-from">
              <h3>
                {count === 1 ? '1 trial' : `${formatNumber(count, 0)} trials`} from “
                {labelOf(calibrationId, all)}” to “{target.label}”
              </h3>
              <CompareView calibrationId={calibrationId} otherId={target.id} />
            </section>
          ))}
        </Panel>
      )}
      <Panel
        title="Decide"
        lead="Each trial gets a further evaluation; figures that were published before never change by it."
      >
        <TextField
          label={isOne ? 'Why it is reassigned' : 'Why they are reassigned'}
          value={reason}
          onChange={setReason}
          maxLength={500}
          placeholder="such as: the arm’s length was measured anew"
          help="At least three characters. It is stored with each trial."
          isRequired
        />
        <FailureNotice error={action.error} />
        <ActionRow>
          <Button
            look="primary"
            isDisabled={target === null || isNothingToDo || reason.trim().length < MIN_REASON_LENGTH}
            isPending={action.isBusy}
            onPress={() => void action.run(reassign)}
          >
            Reassign {trials}
          </Button>
          <LinkButton href={back}>{isOne ? 'Leave it as it is' : 'Leave them as they are'}</LinkButton>
        </ActionRow>
      </Panel>
    </>
  );
}
