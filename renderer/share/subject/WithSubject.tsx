import { type ReactNode, useEffect, useState } from 'react';
import { useSearchParams } from 'wouter';
import { AppError } from '../../../shared-lib/app-error.ts';
import type { Subject, SubjectDescription } from '../../../shared-lib/publishing/publishing-model.ts';
import { useConnection, useLinkState } from '../../api-client/ConnectionContext.tsx';
import { useRequest } from '../../api-client/use-request.ts';
import { useReloadOn } from '../../compare/use-reload-on.ts';
import { Button } from '../../ui/Button.tsx';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { JobList } from '../made/JobList.tsx';
import { readSubject, shareAddress, withSubject } from '../share-address.ts';
import { findNewestSubject } from './find-newest-subject.ts';
import { rememberComparison } from './recent-comparisons.ts';
import { SubjectHead } from './SubjectHead.tsx';

export interface ShownSubject {
  readonly subject: Subject;
  readonly description: SubjectDescription;
}

interface WithSubjectProps {
  readonly children: (shown: ShownSubject) => ReactNode;
}

const outdatedBy = ['settingsChanged', 'catalogueChanged', 'standingsChanged', 'runSheetsChanged'] as const;

/** What the address says is published, with its head above; without one, the newest that is worth showing. */
export function WithSubject({ children }: WithSubjectProps) {
  const [params, setParams] = useSearchParams();
  const subject = readSubject(params.toString());
  const choose = (next: Subject) => setParams((now) => withSubject(now, next));
  if (subject === null) {
    return (
      <NewestSubject
        isUnreadable={params.has('subject')}
        onFound={(found) => setParams((now) => withSubject(now, found), { replace: true })}
      />
    );
  }
  return (
    <Described key={JSON.stringify(subject)} subject={subject} onChoose={choose}>
      {children}
    </Described>
  );
}

interface DescribedProps extends WithSubjectProps {
  readonly subject: Subject;
  readonly onChoose: (subject: Subject) => void;
}

function Described({ subject, onChoose, children }: DescribedProps) {
  const { result, error, reload } = useRequest('describeSubject', { subject }, 'trialsChanged');
  useReloadOn(outdatedBy, reload);
  const title = result?.title;
  useEffect(() => {
    if (title !== undefined) rememberComparison(subject, title);
    // The component is made anew for another subject.
    // eslint-disable-next-line react-hooks/exhaustive-deps
  }, [title]);
  return (
    <>
      <SubjectHead subject={subject} description={result} onChoose={onChoose} />
      <JobList />
      <FailureNotice error={error} />
      {error === null ? null : (
        <div>
          <Button onPress={reload}>Ask again</Button>
        </div>
      )}
      {result === null && error === null ? <p role="status">Looking up what there is of it.</p> : null}
      {result === null ? null : children({ subject, description: result })}
    </>
  );
}

interface NewestSubjectProps {
  readonly isUnreadable: boolean;
  readonly onFound: (subject: Subject) => void;
}

type Search = 'looking' | 'nothing' | AppError;

function NewestSubject({ isUnreadable, onFound }: NewestSubjectProps) {
  const connection = useConnection();
  const isOpen = useLinkState() === 'open';
  const [search, setSearch] = useState<Search>('looking');
  const [askedTimes, setAskedTimes] = useState(0);
  useEffect(() => {
    if (!isOpen) return undefined;
    let isWanted = true;
    findNewestSubject(connection).then(
      (found) => {
        if (!isWanted) return;
        if (found === null) setSearch('nothing');
        else onFound(found);
      },
      (refusal: unknown) => {
        if (!(refusal instanceof AppError)) throw refusal;
        if (isWanted) setSearch(refusal);
      },
    );
    return () => {
      isWanted = false;
    };
    // Whoever is told of what was found puts it into the address, and this is gone.
    // eslint-disable-next-line react-hooks/exhaustive-deps
  }, [connection, isOpen, askedTimes]);
  useEffect(
    () => connection.subscribe('trialsChanged', () => setAskedTimes((times) => times + 1)),
    [connection],
  );

  if (search === 'looking') return <p role="status">Looking for the newest that is worth showing.</p>;
  if (search instanceof AppError) {
    return (
      <>
        <FailureNotice error={search} />
        <div>
          <Button onPress={() => setAskedTimes((times) => times + 1)}>Ask again</Button>
        </div>
      </>
    );
  }
  return (
    <>
      {isUnreadable ? (
        <Notice kind="information">
          The address names something that this program cannot read, perhaps because it was cut short.
        </Notice>
      ) : null}
      <NothingYet />
    </>
  );
}

/** Nothing was pulled and nothing calibrated yet. */
function NothingYet() {
  return (
    <EmptyState
      title="What you publish will be here"
      actions={
        <>
          <LinkButton href="/bench" look="primary">
            Go to the Bench
          </LinkButton>
          <LinkButton href={shareAddress('bring-in', null)}>Bring in data of others</LinkButton>
        </>
      }
    >
      <p>
        Keep a trial, and this place makes a picture of it for a page or a video, a report, and a data package
        from which anybody can compute its figures again. With two tools it shows who is ahead.
      </p>
    </EmptyState>
  );
}
