import { useState } from 'react';
import type { Job } from '../../../shared-lib/publishing/publishing-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { uploadFile } from '../../ui/upload-file.ts';
import { JobUnderWay } from '../made/JobList.tsx';
import { isUnderWay } from '../made/job-words.ts';
import { useJobs } from '../made/use-jobs.ts';
import { ChooseFile } from './ChooseFile.tsx';
import { PackagePreviewView } from './PackagePreviewView.tsx';
import { type ChosenPackage, usePackagePreview } from './use-package-preview.ts';

/** A data package is chosen, read and shown in words before anything is taken in. */
export function PackagePanel() {
  const connection = useConnection();
  const { jobs } = useJobs();
  const upload = useAction();
  const taking = useAction();
  /** What was handed over and is not wanted; should that fail, the next start of the program drops it. */
  const dropping = useAction();
  const [fraction, setFraction] = useState<number | null>(null);
  const [chosen, setChosen] = useState<ChosenPackage | null>(null);
  const [takingJobId, setTakingJobId] = useState<string | null>(null);
  const preview = usePackagePreview(chosen);

  const choose = (next: ChosenPackage | null): void => {
    taking.clearError();
    setTakingJobId(null);
    if (chosen !== null && chosen.source !== next?.source) drop(chosen);
    setChosen(next);
  };
  const drop = ({ source }: ChosenPackage): void => {
    if (source.from !== 'upload') return;
    const { uploadId } = source;
    void dropping.run(() => connection.request('dropUpload', { uploadId }));
  };
  const hand = (file: File): void => {
    choose(null);
    setFraction(0);
    void upload
      .run(async () => {
        const source = await uploadFile(connection, file, setFraction);
        setChosen({ source, name: file.name });
      })
      .finally(() => setFraction(null));
  };
  const takeIn = (): void => {
    if (chosen === null || preview.stage !== 'read') return;
    const { fingerprint } = preview.preview;
    void taking.run(async () => {
      const { jobId } = await connection.request('importPackage', { source: chosen.source, fingerprint });
      setTakingJobId(jobId);
    });
  };

  const underWay = jobs.filter(isUnderWay);
  const taken = jobs.find(({ jobId }) => jobId === takingJobId);
  const isTaking = takingJobId !== null && (taken === undefined || isUnderWay(taken));
  const isBusy = upload.isBusy || preview.stage === 'reading' || isTaking || taking.isBusy;
  return (
    <Panel
      title="Data package of another bench"
      lead="All of it is read and checked first, and you see what it would add. Nothing is taken in before you say so; then it is taken in whole, or not at all."
    >
      <ChooseFile
        label="Choose a data package"
        what="a data package (.zip)"
        endings={['.zip']}
        isBusy={isBusy}
        onFile={hand}
        onPath={(path) => choose({ source: { from: 'path', path }, name: path })}
      />
      <p role="status" className="bring-in-status">
        {fraction === null ? '' : `Handing the file over: ${Math.round(100 * fraction)} %.`}
        {preview.stage === 'reading' ? `Reading all of ${chosen?.name ?? 'the package'}.` : ''}
      </p>
      <FailureNotice error={upload.error} />
      {underWay.length === 0 ? null : (
        <ul className="share-jobs" aria-label="What is under way">
          {underWay.map((job) => (
            <li key={job.jobId}>
              <JobUnderWay job={job} />
            </li>
          ))}
        </ul>
      )}
      <FailureNotice error={preview.stage === 'refused' ? preview.error : null} />
      {preview.stage === 'read' && chosen !== null && !isTaking && taken?.state !== 'done' ? (
        <PackagePreviewView
          preview={preview.preview}
          name={chosen.name}
          isBusy={taking.isBusy}
          onTakeIn={takeIn}
          onGiveUp={() => choose(null)}
        />
      ) : null}
      <FailureNotice error={taking.error} />
      <Outcome job={taken} onAnother={() => choose(null)} />
    </Panel>
  );
}

function Outcome({ job, onAnother }: { readonly job: Job | undefined; readonly onAnother: () => void }) {
  if (job === undefined || isUnderWay(job)) return null;
  if (job.state !== 'done') {
    return (
      <Notice kind={job.state === 'failed' ? 'fault' : 'information'} live="alert">
        {job.sentence}
      </Notice>
    );
  }
  return (
    <Notice
      kind="information"
      live="status"
      actions={
        <>
          <LinkButton href="/logbook" look="primary">
            Open the Logbook
          </LinkButton>
          <Button onPress={onAnother}>Take in another</Button>
        </>
      }
    >
      {job.sentence}
    </Notice>
  );
}
