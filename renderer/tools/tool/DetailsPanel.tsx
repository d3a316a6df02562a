import type { CatalogueTool } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { useToolDraft } from './tool-drafts.ts';
import { catalogueCautions, catalogueForm, emptyCatalogueForm, readCatalogueForm } from './tool-form.ts';
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
  const { draft, write, forget } = useToolDraft(draftKey);
  const { run, isBusy, error } = useAction();
  const start = stored === null ? emptyCatalogueForm : catalogueForm(stored, units.torqueUnit);
  const form = draft ?? start;
  const reading = readCatalogueForm(form, toolId, stored, units);
  const cautions = 'value' in reading ? catalogueCautions(reading.value) : [];
  const store = async () => {
    if ('missing' in reading || isBusy) return;
    if (!(await run(() => connection.request('saveCatalogueTool', reading.value)))) return;
    forget();
    onStored?.();
  };
  return (
    <Panel
      title="Details"
      lead="Units may be typed as they come: 3.5 lb, 6 in, 900 ft·lbf. What is not known stays empty."
    >
      <ToolForm
        form={form}
        onChange={(part) => write({ ...form, ...part })}
        units={units}
        isNew={stored === null}
      />
      {cautions.map((caution) => (
        <Notice key={caution} kind="caution" live="status">
          {caution}
        </Notice>
      ))}
      <FailureNotice error={error} />
      <div className={draft === null ? 'tool-save' : 'tool-save tool-save-begun'}>
        <ActionRow>
          <Button
            look="primary"
            isDisabled={'missing' in reading || (stored !== null && draft === null)}
            isPending={isBusy}
            onPress={() => void store()}
          >
            {stored === null ? 'Store this tool' : 'Store the changes'}
          </Button>
          {draft === null || stored === null ? null : (
            <Button look="quiet" onPress={forget}>
              Leave it as it was
            </Button>
          )}
        </ActionRow>
        <p className="tool-soft" role="status">
          {draft !== null && 'missing' in reading ? `Still needed: ${reading.missing.join(', ')}.` : ''}
          {draft !== null && stored !== null && 'value' in reading ? 'Not stored yet.' : ''}
        </p>
      </div>
    </Panel>
  );
}
