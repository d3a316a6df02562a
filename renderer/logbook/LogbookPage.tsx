import { useState } from 'react';
import { Link, useSearchParams } from 'wouter';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { formatNumber } from '../../shared-lib/format-quantity.ts';
import { STATIC_CALIBRATION } from '../bench/bench-sentences.ts';
import { Button } from '../ui/Button.tsx';
import { EmptyState } from '../ui/EmptyState.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { LinkButton } from '../ui/LinkButton.tsx';
import { Page } from '../ui/Panel.tsx';
import { SelectField } from '../ui/SelectField.tsx';
import { TextField } from '../ui/TextField.tsx';
import './logbook.css';
import {
  everyState,
  logbookFilter,
  pickedAddress,
  withToggled,
  type StateKey,
  stateOptions,
} from './logbook-filter.ts';
import { SuspectNotice } from './suspects/SuspectNotice.tsx';
import { TrialTable } from './TrialTable.tsx';
import { UndecidedNotice } from './UndecidedNotice.tsx';
import { useTrialPages } from './use-trial-pages.ts';

const nothingPicked: ReadonlySet<string> = new Set();

export function LogbookPage() {
  const [params, setParams] = useSearchParams();
  const { search, stateKey, query, isFiltered, suffix } = logbookFilter(params);
  const pages = useTrialPages(query);
  const [picked, setPicked] = useState<ReadonlySet<string>>(nothingPicked);

  const change = (name: string, value: string) => {
    setPicked(nothingPicked);
    setParams(
      (before) => {
        const next = new URLSearchParams(before);
        if (value === '') next.delete(name);
        else next.set(name, value);
        return next;
      },
      { replace: true },
    );
  };
  const clear = () => setParams(new URLSearchParams(), { replace: true });

  return (
    <div className="logbook-list">
      <Page title="Logbook">
        {pages.total === 0 && !isFiltered ? (
          <NoTrialsYet />
        ) : (
          <>
            {isFiltered ? null : <UndecidedNotice onShow={(state) => change('state', state)} />}
            <div className="logbook-filters" role="search">
              <TextField
                label="Tool"
                value={search}
                onChange={(tool) => change('tool', tool)}
                placeholder="Part of its name"
                maxLength={200}
              />
              <SelectField<StateKey>
                label="State"
                options={stateOptions}
                selected={stateKey}
                onSelect={(key) => change('state', key === everyState ? '' : key)}
              />
              <p className="logbook-count" role="status">
                {pages.total === null ? '' : countSentence(pages.total, isFiltered)}
              </p>
              {pages.total === null || pages.total === 0 ? null : (
                <LinkButton href={picked.size === 0 ? `/logbook/reassign${suffix}` : pickedAddress(picked)}>
                  {picked.size === 0
                    ? `Reassign ${pages.total === 1 ? 'it' : 'all of these'} to another calibration`
                    : `Reassign the ${picked.size} picked to another calibration`}
                </LinkButton>
              )}
              {picked.size === 0 ? null : (
                <Button look="quiet" onPress={() => setPicked(nothingPicked)}>
                  Pick none
                </Button>
              )}
            </div>
            {stateKey === 'suspect' && pages.total !== null && pages.total > 0 ? (
              <SuspectNotice query={query} total={pages.total} />
            ) : null}
            <FailureNotice error={pages.error} />
            {pages.total === null ? null : pages.total === 0 ? (
              <EmptyState title="Nothing matches" actions={<Button onPress={clear}>Show every trial</Button>}>
                <p>
                  No trial has such a tool and state. Trials are never deleted, so it may be under another
                  name.
                </p>
              </EmptyState>
            ) : (
              <TrialTable
                key={`${search} ${stateKey}`}
                total={pages.total}
                pages={pages}
                picked={picked}
                onPick={(trialId) => setPicked(withToggled(picked, trialId))}
              />
            )}
            <p className="trial-aside">Sustained torque: {STATIC_CALIBRATION.toLowerCase()}</p>
          </>
        )}
      </Page>
    </div>
  );
}

function NoTrialsYet() {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  return (
    <EmptyState
      title="No trials yet"
      actions={
        <>
          <Link href="/bench" className="logbook-link">
            Go to the Bench
          </Link>
          <Button
            onPress={() => void run(() => connection.request('connectSimulatedBench', {}))}
            isPending={isBusy}
          >
            Use the simulated bench
          </Button>
        </>
      }
    >
      <p>
        Every trial will stand here with its curve, its figures, the calibration it was made with, and who
        kept or voided it and why. Run one on the Bench; without hardware the simulated bench does.
      </p>
      <FailureNotice error={error} />
    </EmptyState>
  );
}

function countSentence(total: number, isFiltered: boolean): string {
  const trials = total === 1 ? '1 trial' : `${formatNumber(total, 0)} trials`;
  return isFiltered ? `${trials} match` : trials;
}
