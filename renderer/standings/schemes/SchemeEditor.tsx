import { useState } from 'react';
import { useLocation } from 'wouter';
import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import {
  type SchemeDraft,
  schemeDraftSchema,
  type SchemeVersion,
} from '../../../shared-lib/standings/scheme-model.ts';
import type { StandingsTable } from '../../../shared-lib/standings/standings-model.ts';
import { useConnection, useSettings } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { ActionRow, FieldGrid, Panel } from '../../ui/Panel.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import { newTableAddress, schemeAddress } from '../standings-addresses.ts';
import { quantityOf } from '../words/measure-quantity.ts';
import { useMeasureWords, useQuantityContext } from '../use-measure-words.ts';
import { useStandingsRequest } from '../use-standings-request.ts';
import type { QuantityContext } from '../words/measure-quantity.ts';
import { FindingList } from './FindingList.tsx';
import {
  emptySchemeForm,
  inOtherContext,
  readSchemeForm,
  schemeForm,
  type SchemeForm,
} from './scheme-form.ts';
import {
  findingsOf,
  type SchemeWords,
  versionWords,
} from '../../../shared-lib/standings/words/scheme-sentences.ts';
import { referenceTools } from './reference-tools.ts';
import { SchemePreview } from './SchemePreview.tsx';
import { SchemeVersions } from './SchemeVersions.tsx';
import { TermList } from './TermList.tsx';
import { useDraftCheck } from './use-draft-check.ts';

interface SchemeEditorProps {
  /** The version that the form begins with; null: an empty one. */
  readonly source: SchemeVersion | null;
  readonly isNew: boolean;
  readonly list: RequestResult<'listSchemes'>;
  readonly tables: readonly StandingsTable[];
  readonly versions: readonly SchemeVersion[];
  readonly references: RequestResult<'listSchemeVersions'>['references'];
  readonly askedTableId: string | null;
}

const newKey = () => crypto.randomUUID();

/** Rules as rows, with what speaks against them and the order that they make beside them. */
export function SchemeEditor({
  source,
  isNew,
  list,
  tables,
  versions,
  references: stored,
  askedTableId,
}: SchemeEditorProps) {
  const schemeId = isNew ? null : (source?.schemeId ?? null);
  const currency = useSettings()?.currency ?? '';
  const [tableId, setTableId] = useState(() =>
    firstTable(tables, schemeId ?? source?.schemeId ?? null, askedTableId),
  );
  const table = tables.find(({ id }) => id === tableId);
  const context = useQuantityContext(table?.currency ?? currency);
  const standings = useStandingsRequest('getStandings', tableId === null ? null : { tableId }).result;
  const measureWords = useMeasureWords(list.schemes);

  const [state, setState] = useState(() => ({ form: startForm(source, isNew, context), context }));
  if (state.context.torque.unit !== context.torque.unit || state.context.currency !== context.currency) {
    setState({ form: inOtherContext(state.form, state.context, context), context });
  }
  const { form } = state;
  const setForm = (change: (form: SchemeForm) => SchemeForm) =>
    setState((before) => ({ ...before, form: change(before.form) }));

  const reading = readSchemeForm(form, context, measureWords);
  const draft = 'value' in reading ? reading.value : null;
  const check = useDraftCheck(draft, schemeId, tableId);
  const references = referenceTools(stored, { ofDraft: check.newestStandings, ofTable: standings });
  const words: SchemeWords = {
    value: (measure, value) => quantityOf(measure, context).inWords(value),
    measure: measureWords,
    contender: references.labelOf,
  };
  const isStopped = check.findings.some(({ severity }) => severity === 'stop');
  const isReadyMade = schemeId !== null && list.readyMadeIds.includes(schemeId);
  return (
    <div className="scheme-editor">
      <div className="scheme-form">
        <Panel title="The scheme">
          <FieldGrid>
            <TextField
              label="Name of the scheme"
              value={form.name}
              onChange={(name) => setForm((before) => ({ ...before, name }))}
              maxLength={80}
              isRequired
            />
            <TextField
              label="Note on this version"
              value={form.note}
              onChange={(note) => setForm((before) => ({ ...before, note }))}
              maxLength={2000}
              help="Why it is so; shown with the version"
            />
          </FieldGrid>
          <Checkbox
            isSelected={form.isNormalised}
            onChange={(isNormalised) => setForm((before) => ({ ...before, isNormalised }))}
          >
            Divide the total by the sum of the factors that took part, so that a tool that lacks a term is not
            behind for that alone
          </Checkbox>
          <FindingList label="Findings on the scheme" findings={findingsOf(check.findings, null)} />
        </Panel>
        <TermList
          form={form}
          words={words}
          context={context}
          findings={check.findings}
          others={list.schemes.filter(
            (scheme) => scheme.schemeId !== schemeId && !list.archivedIds.includes(scheme.schemeId),
          )}
          references={references}
          onForm={setForm}
        />
        <SchemeVersions
          versions={versions}
          isReadyMade={isReadyMade}
          words={words}
          onTake={(version) => setForm(() => schemeForm(version, context, newKey))}
        />
      </div>
      <div className="scheme-preview">
        <SaveActions
          source={source}
          schemeId={schemeId}
          isReadyMade={isReadyMade}
          draft={isStopped ? null : draft}
          obstacle={
            'missing' in reading
              ? `Still needed: ${reading.missing.join(', ')}.`
              : isStopped
                ? 'What is marked “Cannot be saved” is to be put right first.'
                : null
          }
          table={table ?? null}
        />
        <SchemePreview
          check={check}
          tables={tables}
          tableId={tableId}
          onTable={setTableId}
          obstacle={
            'missing' in reading
              ? 'The order follows once every field of the terms can be read.'
              : isStopped
                ? 'The order follows once what cannot be saved is put right.'
                : null
          }
        />
      </div>
    </div>
  );
}

/** A copy begins under a name of its own. */
function startForm(from: SchemeVersion | null, isCopy: boolean, context: QuantityContext): SchemeForm {
  if (from === null) return emptySchemeForm;
  const form = schemeForm(from, context, newKey);
  return isCopy ? { ...form, name: `${form.name}, own` } : form;
}

interface SaveActionsProps {
  readonly source: SchemeVersion | null;
  readonly schemeId: string | null;
  readonly isReadyMade: boolean;
  /** Null: it cannot be saved. */
  readonly draft: SchemeDraft | null;
  readonly obstacle: string | null;
  /** The one whose order stands beside the form. */
  readonly table: StandingsTable | null;
}

function SaveActions({ source, schemeId, isReadyMade, draft, obstacle, table }: SaveActionsProps) {
  const connection = useConnection();
  const [, navigate] = useLocation();
  const { run, isBusy, error } = useAction();
  const [said, setSaid] = useState('');
  const canFollow = schemeId !== null && !isReadyMade && source !== null;
  const isSame = draft !== null && source !== null && isSameDraft(source, draft);
  const saveNext = () =>
    void run(async () => {
      if (draft === null) return;
      const saved = await connection.request('saveScheme', { schemeId, draft });
      setSaid(`${versionWords(saved)} of “${saved.name}” is saved; its tables follow it.`);
    });
  const saveNew = () =>
    void run(async () => {
      if (draft === null) return;
      const saved = await connection.request('saveScheme', { schemeId: null, draft });
      navigate(schemeAddress(saved.schemeId, { tableId: table?.id ?? null }));
    });
  const rankByIt = () =>
    void run(async () => {
      if (table === null || schemeId === null) return;
      await connection.request('saveStandingsTable', { table: { ...table, schemeId } });
      setSaid(`“${table.name}” is ranked by this scheme now.`);
    });
  return (
    <Panel title="Save it">
      <ActionRow>
        {canFollow ? (
          <Button look="primary" isDisabled={draft === null || isSame} isPending={isBusy} onPress={saveNext}>
            Save as version {source.version + 1}
          </Button>
        ) : null}
        <Button
          look={canFollow ? 'plain' : 'primary'}
          isDisabled={draft === null}
          isPending={isBusy}
          onPress={saveNew}
        >
          Save as a new scheme
        </Button>
        {schemeId === null ? null : (
          <LinkButton href={newTableAddress(schemeId)}>Make a table with it</LinkButton>
        )}
        {schemeId === null || table === null || table.schemeId === schemeId ? null : (
          <Button isPending={isBusy} onPress={rankByIt}>
            Rank {table.name} by it
          </Button>
        )}
      </ActionRow>
      <p role="status" className="standings-status">
        {obstacle ??
          (said === ''
            ? isReadyMade
              ? 'A ready-made scheme stays as it is; yours becomes a new one.'
              : isSame && canFollow
                ? `Nothing is other than in version ${source.version}.`
                : ''
            : said)}
      </p>
      <FailureNotice error={error} />
    </Panel>
  );
}

/** Whether a draft says the same as a stored version, so that no version is saved twice. */
function isSameDraft({ name, terms, isNormalised, note }: SchemeVersion, draft: SchemeDraft): boolean {
  // The schema puts all members into one order.
  const inOrder = (one: SchemeDraft) => JSON.stringify(schemeDraftSchema.parse(one));
  return inOrder({ name, terms, isNormalised, note }) === inOrder(draft);
}

/** The one that was asked for, else one that is ranked by the scheme, else the first. */
function firstTable(
  tables: readonly StandingsTable[],
  schemeId: string | null,
  askedId: string | null,
): string | null {
  const found =
    tables.find(({ id }) => id === askedId) ??
    tables.find((table) => table.schemeId === schemeId) ??
    tables[0];
  return found?.id ?? null;
}
