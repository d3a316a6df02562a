import { useSearchParams } from 'wouter';
import { useSettings } from '../../api-client/ConnectionContext.tsx';
import { useRequest } from '../../api-client/use-request.ts';
import { useReloadOn } from '../../compare/use-reload-on.ts';
import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { MADE_FILES, PublishedPanel } from '../made/PublishedPanel.tsx';
import { usePublishing } from '../made/use-publishing.ts';
import { readPictureChoice, withPictureChoice } from '../share-address.ts';
import { unitChoices } from '../unit-choices.ts';
import type { ShownSubject } from '../subject/WithSubject.tsx';
import './report-preview.css';
import { ReportPreview } from './ReportPreview.tsx';

const outdatedBy = ['settingsChanged', 'catalogueChanged', 'standingsChanged'] as const;

/** A report as it will be written, and the forms it can be saved in. */
export function ReportView({ subject, description }: ShownSubject) {
  const [params, setParams] = useSearchParams();
  const shownUnit = useSettings()?.torqueUnit ?? 'Nm';
  const torqueUnit = readPictureChoice(params).unit ?? shownUnit;
  const { hasReport } = description;
  const { result, error, isLoading, reload } = useRequest(
    'getReport',
    hasReport ? { subject, torqueUnit } : null,
    'trialsChanged',
  );
  useReloadOn(outdatedBy, reload);
  const { publish, isBusy, error: refusal } = usePublishing();
  if (!hasReport) {
    return (
      <>
        <Notice kind="information">
          {subject.kind === 'everything'
            ? 'There is no report of everything. Choose a comparison, a trial, a session, a calibration or a table.'
            : `There is no report of this. ${description.sentence}`}
        </Notice>
        <PublishedPanel />
      </>
    );
  }
  const save = (form: 'pdf' | 'html'): void => publish({ makes: 'report', subject, form, torqueUnit });
  return (
    <>
      <div className="share-beside">
        <div aria-busy={isLoading} className="share-stage">
          <FailureNotice error={error} />
          {error === null ? null : (
            <div>
              <Button onPress={reload}>Write it again</Button>
            </div>
          )}
          {result === null && error === null ? <p role="status">The report is being written.</p> : null}
          {result === null ? null : <ReportPreview report={result} />}
        </div>
        <section className="share-choices" aria-label="How it is written">
          <ChoiceField
            label="Unit"
            choices={unitChoices}
            selected={torqueUnit}
            onSelect={(unit) => setParams((now) => withPictureChoice(now, { unit }), { replace: true })}
          />
          <div className="share-save">
            <Button look="primary" isPending={isBusy} onPress={() => save('pdf')}>
              Save report (PDF)
            </Button>
            <Button isPending={isBusy} onPress={() => save('html')}>
              Save report (one HTML file)
            </Button>
            <FailureNotice error={refusal} />
            <a className="share-to-files" href={`#${MADE_FILES}`}>
              To the made files
            </a>
          </div>
        </section>
      </div>
      <PublishedPanel />
    </>
  );
}
