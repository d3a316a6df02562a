import { useRef, useState } from 'react';
import { Label, ProgressBar } from 'react-aria-components';
import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { Job } from '../../../shared-lib/publishing/publishing-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { useFocusWhenGone } from '../../ui/use-focus-when-gone.ts';
import { isUnderWay, jobSentence, outcomeSentence, shownJobs } from './job-words.ts';
import { useJobs } from './use-jobs.ts';

/** What is being made just now, with its progress, and what could not be made. */
export function JobList() {
  const { jobs, hasMoved } = useJobs();
  const [putAside, setPutAside] = useState<ReadonlySet<string>>(new Set());
  const shown = shownJobs(jobs, putAside);
  const listRef = useRef<HTMLUListElement>(null);
  const outcomeRef = useRef<HTMLParagraphElement>(null);
  // Cancel and Close go with what they belong to.
  const watch = useFocusWhenGone(() => listRef.current ?? outcomeRef.current);
  return (
    <>
      {shown.length === 0 ? null : (
        <ul ref={listRef} tabIndex={-1} className="share-jobs" aria-label="What is being made" {...watch}>
          {shown.map((job) => (
            <li key={job.jobId}>
              {isUnderWay(job) ? (
                <JobUnderWay job={job} />
              ) : (
                <Notice
                  kind="fault"
                  actions={
                    <Button
                      look="quiet"
                      onPress={() => setPutAside((before) => new Set([...before, job.jobId]))}
                    >
                      Close<span className="visually-hidden"> the message about {job.title}</span>
                    </Button>
                  }
                >
                  {job.title}: {job.sentence}
                </Notice>
              )}
            </li>
          ))}
        </ul>
      )}
      <p ref={outcomeRef} tabIndex={-1} className="share-outcome" role="status">
        {hasMoved ? outcomeSentence(jobs) : ''}
      </p>
    </>
  );
}

export function JobUnderWay({ job }: { readonly job: Job }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  return (
    <div className="share-job">
      <ProgressBar
        className="share-progress"
        value={100 * job.fraction}
        valueLabel={`${formatNumber(100 * job.fraction, 0)}${THIN_SPACE}%`}
        isIndeterminate={job.state === 'waiting' || job.fraction === 0}
      >
        {({ percentage = 0, valueText }) => (
          <>
            <span className="share-progress-words">
              <Label>{job.title}</Label>
              <span>{valueText ?? ''}</span>
            </span>
            <span className="share-progress-track">
              <span className="share-progress-fill" style={{ inlineSize: `${percentage}%` }} />
            </span>
          </>
        )}
      </ProgressBar>
      <p className="share-job-sentence">{jobSentence(job)}</p>
      <Button
        isPending={isBusy}
        onPress={() => void run(() => connection.request('cancelJob', { jobId: job.jobId }))}
      >
        Cancel<span className="visually-hidden"> {job.title}</span>
      </Button>
      <FailureNotice error={error} />
    </div>
  );
}
