import { useRef, useState } from 'react';
import type { Job } from '../../../shared-lib/publishing/publishing-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { Panel } from '../../ui/Panel.tsx';
import type { ChosenFile } from '../../ui/chosen-file-keeper.ts';
import { useChosenFile } from '../../ui/use-chosen-file.ts';
import { useFocusWhenGone } from '../../ui/use-focus-when-gone.ts';
import { endOfJob } from '../made/end-of-job.ts';
import { JobUnderWay } from '../made/JobList.tsx';
import { isUnderWay } from '../made/job-words.ts';
import { useJobs } from '../made/use-jobs.ts';
import { ChooseFile } from './ChooseFile.tsx';
import { PackagePreviewView } from './PackagePreviewView.tsx';
import { usePackagePreview } from './use-package-preview.ts';

/** A data package is chosen, read and shown in words before anything is taken in. */
export function PackagePanel() {
  const connection = useConnection();
  const { jobs } = useJobs();
  const choice = useChosenFile();
  const taking = useAction();
  const [takingJobId, setTakingJobId] = useState<string | null>(null);
  const { chosen, fraction } = choice;
  const preview = usePackagePreview(choice);

  const forgetTaking = (): void => {
    taking.clearError();
    setTakingJobId(null);
  };
  const choose = (next: ChosenFile | null): void => {
    forgetTaking();
    choice.choose(next);
  };
  const hand = (file: File): void => {
    forgetTaking();
    choice.hand(file);
  };
  const takeIn = (): void => {
    if (chosen === null || preview.stage !== 'read') return;
    const { fingerprint } = preview.preview;
    void taking.run(async () => {
      const begun = connection.request('importPackage', { source: chosen.source, fingerprint });
      choice.needFor(begun.then(({ jobId }) => endOfJob(connection, jobId)));
      setTakingJobId((await begun).jobId);
    });
  };

  const headingRef = useRef<HTMLHeadingElement>(null);
  // Most of its buttons go away by being pressed.
  const watch = useFocusWhenGone(() => headingRef.current);
  const underWay = jobs.filter(isUnderWay);
  const taken = jobs.find(({ jobId }) => jobId === takingJobId);
  const isTaking = takingJobId !== null && (taken === undefined || isUnderWay(taken));
  const isBusy = choice.isHanding || preview.stage === 'reading' || isTaking || taking.isBusy;
  return (
    <div {...watch}>
      <Panel
        title="Data package of another bench"
        headingRef={headingRef}
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
        <FailureNotice error={choice.error} />
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
    </div>
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
