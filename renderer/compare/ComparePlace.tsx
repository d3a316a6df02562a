import { useEffect } from 'react';
import { useSearchParams } from 'wouter';
import { useRequest } from '../api-client/use-request.ts';
import { Notice } from '../ui/Notice.tsx';
import { Page } from '../ui/Panel.tsx';
import { AskAgain } from './AskAgain.tsx';
import { choosePair, type ListedContenders } from './choose-pair.ts';
import { type AddressedChoice, choiceParams, readChoice } from './compare-address.ts';
import './compare.css';
import { AloneSoFar, NobodyYet } from './CompareEmpty.tsx';
import { FindComparable } from './FindComparable.tsx';
import { ComparePickers } from './ComparePickers.tsx';
import { NoSharedStep } from './NoSharedStep.tsx';
import { PairView } from './PairView.tsx';
import { Questions } from './Questions.tsx';
import { useReloadOn } from './use-reload-on.ts';

const outdatedBy = ['catalogueChanged', 'runSheetsChanged'] as const;

/** Two contenders against each other: who is ahead, by how much, and what that rests on. */
export function ComparePlace() {
  const { result, error, reload } = useRequest('listContenders', {}, 'trialsChanged');
  useReloadOn(outdatedBy, reload);
  return (
    <Page title="Compare">
      <AskAgain error={error} onAsk={reload} />
      {result === null ? (
        error === null ? (
          <p role="status">Looking for who was tested.</p>
        ) : null
      ) : (
        <Chosen listed={result} />
      )}
    </Page>
  );
}

function Chosen({ listed }: { readonly listed: ListedContenders }) {
  const [params, setParams] = useSearchParams();
  const addressed = readChoice(params);
  const chosen = choosePair(listed, addressed);
  // What was chosen for the reader is put into the address, so that a bookmark keeps it when somebody else is tested.
  const isOpen = addressed.a === null || addressed.b === null;
  const isSought = chosen.state === 'pair' && isOpen && chosen.candidates.length > 1;
  const whole =
    chosen.state === 'pair' && isOpen && !isSought ? choiceParams(chosen.choice).toString() : null;
  useEffect(() => {
    if (whole !== null) setParams(new URLSearchParams(whole), { replace: true });
  }, [whole, setParams]);

  switch (chosen.state) {
    case 'nobody':
      return <NobodyYet />;
    case 'alone':
      return <AloneSoFar contenders={chosen.contenders} />;
    case 'noSharedStep':
      return (
        <NoSharedStep
          listed={listed}
          a={chosen.a}
          b={chosen.b}
          onChoose={(a, b) =>
            setParams(choiceParams({ ...addressed, a, b, sessionIds: null, isForced: false }))
          }
        />
      );
    case 'pair': {
      const { choice, a, b, isSomebodyMissing, candidates } = chosen;
      if (isSought) {
        return (
          <FindComparable
            candidates={candidates}
            onFound={(found) => setParams(choiceParams(found), { replace: true })}
          />
        );
      }
      const change = (part: Partial<AddressedChoice>) => setParams(choiceParams({ ...choice, ...part }));
      return (
        <>
          {isSomebodyMissing ? (
            <Notice kind="information">
              The address names somebody who has no ended trials here, perhaps because two tools were made one
              since. Others stand in their place.
            </Notice>
          ) : null}
          <ComparePickers listed={listed} choice={choice} a={a} b={b} onChange={change} />
          <Questions choice={choice} onChange={change} />
          <PairView choice={choice} onForce={() => change({ isForced: true })} />
        </>
      );
    }
  }
}
