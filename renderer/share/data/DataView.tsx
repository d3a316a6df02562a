import { useState } from 'react';
import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { Checkbox } from '../../ui/Toggles.tsx';
import { PublishedPanel } from '../made/PublishedPanel.tsx';
import { usePublishing } from '../made/use-publishing.ts';
import type { ShownSubject } from '../subject/WithSubject.tsx';
import {
  countWords,
  type DataChoices,
  licenceChoices,
  rememberDataChoices,
  rememberedDataChoices,
  spreadsheetChoices,
} from './data-choices.ts';

/** The data behind what is shown, in three forms for three kinds of reader. */
export function DataView({ subject, description }: ShownSubject) {
  const [choices, setChoices] = useState(rememberedDataChoices);
  const change = (part: Partial<DataChoices>): void => {
    const next = { ...choices, ...part };
    setChoices(next);
    rememberDataChoices(next);
  };
  const count = description.trialIds.length;
  const standsAlone = subject.kind === 'calibration' || subject.kind === 'everything';
  return (
    <>
      {count === 0 && !standsAlone ? (
        <Notice kind="information">
          There is no trial behind this, so there are no data to give away. Choose something else above.
        </Notice>
      ) : (
        <>
          <p className="share-count">{countWords(count)}</p>
          <div className="share-data">
            <PackagePanel subject={subject} choices={choices} onChange={change} />
            {count === 0 ? null : (
              <>
                <TablesPanel subject={subject} choices={choices} onChange={change} />
                <SamplesPanel subject={subject} />
              </>
            )}
          </div>
        </>
      )}
      <PublishedPanel />
    </>
  );
}

type SubjectOnly = Pick<ShownSubject, 'subject'>;
interface ChoicesProps extends SubjectOnly {
  readonly choices: DataChoices;
  readonly onChange: (part: Partial<DataChoices>) => void;
}

function PackagePanel({ subject, choices, onChange }: ChoicesProps) {
  const { publish, isBusy, error } = usePublishing();
  const { licence, withPhotos } = choices;
  return (
    <Panel
      title="Data package"
      lead="For those who doubt it: raw counts, calibrations and all that was decided, with a script that computes every figure again. Node alone is needed for that."
    >
      <SelectField
        label="Licence"
        options={licenceChoices}
        selected={licence}
        onSelect={(key) => onChange({ licence: key })}
      />
      <Checkbox isSelected={withPhotos} onChange={(isWanted) => onChange({ withPhotos: isWanted })}>
        With the photos of the tools
      </Checkbox>
      <FailureNotice error={error} />
      <div>
        <Button
          look="primary"
          isPending={isBusy}
          onPress={() =>
            publish({
              makes: 'package',
              subject,
              withPhotos,
              licence: licence === 'none' ? null : licence,
            })
          }
        >
          Save data package
        </Button>
      </div>
    </Panel>
  );
}

function TablesPanel({ subject, choices, onChange }: ChoicesProps) {
  const { publish, isBusy, error } = usePublishing();
  const written = spreadsheetChoices.find(({ key }) => key === choices.spreadsheet) ?? spreadsheetChoices[0];
  return (
    <Panel
      title="Tables for a spreadsheet"
      lead="A table of the figures, a line per trial, and the curve of each, as CSV files in one ZIP."
    >
      <ChoiceField
        label="Numbers and columns"
        layout="list"
        choices={spreadsheetChoices}
        selected={choices.spreadsheet}
        onSelect={(key) => onChange({ spreadsheet: key })}
      />
      <FailureNotice error={error} />
      <div>
        <Button
          isPending={isBusy}
          onPress={() =>
            publish({
              makes: 'tables',
              subject,
              separator: written.separator,
              decimal: written.decimal,
            })
          }
        >
          Save tables for a spreadsheet
        </Button>
      </div>
    </Panel>
  );
}

function SamplesPanel({ subject }: SubjectOnly) {
  const { publish, isBusy, error } = usePublishing();
  return (
    <Panel
      title="Samples for analysis"
      lead="Every sample and figure as Parquet files, in folders by bench and day, for programs that read many of them at once."
    >
      <FailureNotice error={error} />
      <div>
        <Button isPending={isBusy} onPress={() => publish({ makes: 'samples', subject })}>
          Save samples (Parquet)
        </Button>
      </div>
    </Panel>
  );
}
