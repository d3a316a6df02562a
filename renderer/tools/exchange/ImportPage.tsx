import { useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { saveFile } from '../../ui/save-file.ts';
import { StateShape } from '../../ui/StateShape.tsx';
import { toolsAddresses } from '../tools-addresses.ts';
import { ToolsPage } from '../ToolsPage.tsx';
import {
  importedSentence,
  type ImportPreview,
  isWorthImporting,
  outcomeWords,
  previewSentence,
  readCsvBytes,
} from './import-sentences.ts';

interface ChosenFile {
  readonly name: string;
  readonly csv: string;
  readonly preview: ImportPreview;
}

/** A catalogue from a file, looked at before anything is changed. */
export function ImportPage() {
  const connection = useConnection();
  const { run, isBusy, error, clearError } = useAction();
  const [chosen, setChosen] = useState<ChosenFile | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [outcome, setOutcome] = useState<string | null>(null);

  const look = (file: File | undefined) => {
    if (file === undefined) return;
    clearError();
    setChosen(null);
    setProblem(null);
    setOutcome(null);
    void run(async () => {
      const read = readCsvBytes(new Uint8Array(await file.arrayBuffer()));
      if ('problem' in read) {
        setProblem(`${file.name}: ${read.problem}`);
        return;
      }
      const preview = await connection.request('previewCatalogueImport', { csv: read.text });
      setChosen({ name: file.name, csv: read.text, preview });
    });
  };
  const importAll = ({ csv }: ChosenFile) =>
    run(async () => {
      setOutcome(importedSentence(await connection.request('importCatalogue', { csv })));
      setChosen(null);
    });
  const saveTable = () =>
    run(async () => {
      const { csv, fileName } = await connection.request('exportCatalogue', {});
      saveFile(fileName, 'text/csv;charset=utf-8', csv);
    });

  return (
    <ToolsPage title="Import tools">
      <Panel
        title="From a table"
        lead="A CSV file as the export writes it: a tool has as many lines as it has claims or prices, and a heading may say another unit, such as length_in. What would change is shown first; all of it is imported or nothing."
      >
        <ActionRow>
          <FileTrigger acceptedFileTypes={['.csv', 'text/csv']} onSelect={(files) => look(files?.[0])}>
            <Button look={chosen === null && outcome === null ? 'primary' : 'plain'} isPending={isBusy}>
              Choose a file
            </Button>
          </FileTrigger>
          <Button look="quiet" isPending={isBusy} onPress={() => void saveTable()}>
            Get the catalogue as a table to fill in
          </Button>
        </ActionRow>
        {problem === null ? null : (
          <Notice kind="fault" live="alert">
            {problem}
          </Notice>
        )}
        <FailureNotice error={error} />
        {outcome === null ? null : (
          <Notice
            kind="information"
            live="status"
            actions={<LinkButton href={toolsAddresses.list}>Show all tools</LinkButton>}
          >
            {outcome}
          </Notice>
        )}
      </Panel>
      {chosen === null ? null : (
        <Preview chosen={chosen} isBusy={isBusy} onImport={() => void importAll(chosen)} />
      )}
    </ToolsPage>
  );
}

interface PreviewProps {
  readonly chosen: ChosenFile;
  readonly isBusy: boolean;
  readonly onImport: () => void;
}

function Preview({ chosen: { name, preview }, isBusy, onImport }: PreviewProps) {
  return (
    <Panel
      title={name}
      actions={
        isWorthImporting(preview) ? (
          <Button look="primary" isPending={isBusy} onPress={onImport}>
            Import all of it
          </Button>
        ) : undefined
      }
    >
      <div role="status">
        {preview.refusedCount > 0 ? (
          <Notice kind="caution">{previewSentence(preview)}</Notice>
        ) : (
          <p>{previewSentence(preview)}</p>
        )}
      </div>
      {preview.rows.length === 0 ? null : (
        <div className="figure-table-frame">
          <table className="figure-table" aria-label="Lines of the file">
            <thead>
              <tr>
                <th scope="col" className="figure-table-number">
                  Line
                </th>
                <th scope="col">Tool</th>
                <th scope="col">Outcome</th>
                <th scope="col">Remarks</th>
              </tr>
            </thead>
            <tbody>
              {preview.rows.map((row) => (
                <tr key={`${row.line} ${row.name}`}>
                  <td className="figure-table-number">{row.line}</td>
                  <th scope="row" className="tool-text">
                    {row.name}
                  </th>
                  <td className="tool-outcome">
                    {row.outcome === 'refused' ? <StateShape shape="fault" /> : null}{' '}
                    {outcomeWords[row.outcome]}
                  </td>
                  <td className="tool-text">
                    {row.remarks.map((remark) => (
                      <span key={remark} className="tool-line">
                        {remark}
                      </span>
                    ))}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </Panel>
  );
}
