import { useRef } from 'react';
import type { CatalogueTool } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { useFocusWhenGone } from '../../ui/use-focus-when-gone.ts';
import {
  changedMeanwhile,
  type FormPart,
  isBegun,
  useToolDraft,
  withStoredTaken,
  withTyped,
  withTypedKept,
} from './tool-drafts.ts';
import {
  catalogueCautions,
  catalogueForm,
  emptyCatalogueForm,
  formPartNames,
  readCatalogueForm,
} from './tool-form.ts';
import { ToolForm } from './ToolForm.tsx';
import { useFormUnits } from './use-form-units.ts';

interface DetailsPanelProps {
  /** What was typed is kept under it until it is stored. */
  readonly draftKey: string;
  readonly toolId: string;
  /** Null: a new one. */
  readonly stored: CatalogueTool | null;
  readonly onStored?: () => void;
}

export function DetailsPanel({ draftKey, toolId, stored, onStored }: DetailsPanelProps) {
  const connection = useConnection();
  const units = useFormUnits();
  const { draft, write, forget } = useToolDraft(draftKey, units);
  const { run, isBusy, error } = useAction();
  const headingRef = useRef<HTMLHeadingElement>(null);
  // What decides between typed and stored, or gives up what was typed, goes away by it.
  const watch = useFocusWhenGone(() => headingRef.current);
  const start = stored === null ? emptyCatalogueForm : catalogueForm(stored, units.torqueUnit);
  const form = { ...start, ...draft.typed };
  const hasDraft = isBegun(draft);
  const changed = changedMeanwhile(draft, stored, units.torqueUnit);
  const reading = readCatalogueForm(form, toolId, stored, units);
  const cautions = 'value' in reading ? catalogueCautions(reading.value) : [];
  const store = async () => {
    if ('missing' in reading || isBusy || changed.length > 0) return;
    const isStored = await run(async () => {
      await connection.request('saveCatalogueTool', reading.value);
      // While still busy: else what was stored from here would be said, for a moment, to come from elsewhere.
      forget();
    });
    if (isStored) onStored?.();
  };
  return (
    <div {...watch}>
      <Panel
        title="Details"
        headingRef={headingRef}
        lead="Units may be typed as they come: 3.5 lb, 6 in, 900 ft·lbf. What is not known stays empty."
      >
        <ToolForm
          form={form}
          onChange={(part) => write(withTyped(draft, part, stored))}
          units={units}
          isNew={stored === null}
        />
        {cautions.map((caution) => (
          <Notice key={caution} kind="caution" live="status">
            {caution}
          </Notice>
        ))}
        {stored === null || isBusy
          ? null
          : changed.map((part) => (
              <ChangedNotice
                key={part}
                part={part}
                onKeepTyped={() => write(withTypedKept(draft, part, stored))}
                onTakeStored={() => write(withStoredTaken(draft, part))}
              />
            ))}
        <FailureNotice error={error} />
        <div className={hasDraft ? 'tool-save tool-save-begun' : 'tool-save'}>
          <ActionRow>
            <Button
              look="primary"
              isDisabled={'missing' in reading || changed.length > 0 || (stored !== null && !hasDraft)}
              isPending={isBusy}
              onPress={() => void store()}
            >
              {stored === null ? 'Store this tool' : 'Store the changes'}
            </Button>
            {stored === null || !hasDraft ? null : (
              <Button look="quiet" onPress={forget}>
                Leave it as it was
              </Button>
            )}
          </ActionRow>
          <p className="tool-soft" role="status">
            {hasDraft && 'missing' in reading ? `Still needed: ${reading.missing.join(', ')}.` : ''}
            {hasDraft && stored !== null && 'value' in reading ? 'Not stored yet.' : ''}
          </p>
        </div>
      </Panel>
    </div>
  );
}

interface ChangedNoticeProps {
  readonly part: FormPart;
  readonly onKeepTyped: () => void;
  readonly onTakeStored: () => void;
}

/** Two people, or a person and an import, changed the same: which of the two stays is for a person to say. */
function ChangedNotice({ part, onKeepTyped, onTakeStored }: ChangedNoticeProps) {
  const name = formPartNames[part];
  return (
    <Notice
      kind="caution"
      live="status"
      actions={
        <>
          <Button aria-label={`Keep what is typed: ${name}`} onPress={onKeepTyped}>
            Keep what is typed
          </Button>
          <Button aria-label={`Take what is stored: ${name}`} onPress={onTakeStored}>
            Take what is stored
          </Button>
        </>
      }
    >
      Stored elsewhere since you began to type: {name}. The history says what it is now. Nothing is stored
      from here until you say which of the two stays.
    </Notice>
  );
}
