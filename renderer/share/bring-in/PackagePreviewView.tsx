import type { PackagePreview } from '../../../shared-lib/exchange/exchange-requests.ts';
import { Button } from '../../ui/Button.tsx';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow } from '../../ui/Panel.tsx';
import { countWords, makerWords, previewSentence } from './bring-in-words.ts';

interface PackagePreviewViewProps {
  readonly preview: PackagePreview;
  readonly name: string;
  readonly isBusy: boolean;
  readonly onTakeIn: () => void;
  readonly onGiveUp: () => void;
}

const SHOWN_CONFLICTS = 8;

/** What a package is, what of it is new here, and what speaks against it. */
export function PackagePreviewView({ preview, name, isBusy, onTakeIn, onGiveUp }: PackagePreviewViewProps) {
  const { manifest, trials, tools, calibrations, conflicts, remarks, fingerprint } = preview;
  const isRefused = conflicts.length > 0;
  return (
    <section className="bring-in-preview" aria-label={`What ${name} holds`}>
      <h3>{manifest.subject}</h3>
      <DataList>
        <DataRow name="From">{manifest.bench.name}</DataRow>
        <DataRow name="Made" note={makerWords(preview)}>
          {formatDateTime(manifest.madeAt)}
        </DataRow>
        <DataRow name="Trials">{countWords(trials)}</DataRow>
        <DataRow name="Tools">{countWords(tools)}</DataRow>
        <DataRow name="Calibrations">{countWords(calibrations)}</DataRow>
        <DataRow
          name="Fingerprint"
          note="SHA-256 of its datapackage.json, which names the one of every other file. Compare it with what its maker states."
        >
          <code className="bring-in-fingerprint">{fingerprint}</code>
        </DataRow>
      </DataList>
      {isRefused ? (
        <Notice kind="fault" live="alert">
          {previewSentence(preview)} Ask its maker which of them is right.
        </Notice>
      ) : (
        <p className="bring-in-verdict">{previewSentence(preview)}</p>
      )}
      {isRefused ? (
        <ul className="bring-in-list" aria-label="Contradictions">
          {conflicts.slice(0, SHOWN_CONFLICTS).map((conflict) => (
            <li key={conflict}>{conflict}</li>
          ))}
          {conflicts.length > SHOWN_CONFLICTS ? (
            <li>And {conflicts.length - SHOWN_CONFLICTS} more.</li>
          ) : null}
        </ul>
      ) : null}
      {remarks.length === 0 ? null : (
        <ul className="bring-in-list" aria-label="To be known">
          {remarks.map((remark) => (
            <li key={remark}>{remark}</li>
          ))}
        </ul>
      )}
      <ActionRow>
        {isRefused ? null : (
          <Button look="primary" isPending={isBusy} onPress={onTakeIn}>
            Take it in
          </Button>
        )}
        <Button onPress={onGiveUp}>Leave everything as it is</Button>
      </ActionRow>
    </section>
  );
}
