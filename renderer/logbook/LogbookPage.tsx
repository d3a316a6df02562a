import { useCallback, useMemo, useState } from 'react';
import { Link, useSearchParams } from 'wouter';
import type { TrialSummary } from '../../shared-lib/trial/trial-model.ts';
import { STATIC_CALIBRATION } from '../bench/bench-sentences.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { Button } from '../ui/Button.tsx';
import { EmptyState } from '../ui/EmptyState.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { LinkButton } from '../ui/LinkButton.tsx';
import { Notice } from '../ui/Notice.tsx';
import { Page } from '../ui/Panel.tsx';
import { FilterMarks } from './list/FilterMarks.tsx';
import './list/logbook-list.css';
import { LogbookFilters } from './list/LogbookFilters.tsx';
import { LogbookToolbar } from './list/LogbookToolbar.tsx';
import { RecomputationNotice } from './list/RecomputationNotice.tsx';
import {
  type ColumnKey,
  rememberedHiddenColumns,
  rememberHiddenColumns,
  tableLayout,
} from './list/table-columns.ts';
import { TrialTable } from './list/TrialTable.tsx';
import { useTrialCopy } from './list/use-trial-copy.ts';
import './logbook.css';
import { type FilterKey, logbookFilter, withFilter, withSort, withToggled } from './logbook-filter.ts';
import { sessionsAddress } from './sessions/session-addresses.ts';
import { SuspectNotice } from './suspects/SuspectNotice.tsx';
import { UndecidedNotice } from './UndecidedNotice.tsx';
import { useTrialPages } from './use-trial-pages.ts';

const nothingPicked: ReadonlySet<string> = new Set();

export function LogbookPage() {
  const [params, setParams] = useSearchParams();
  const { filter, sort, query, isFiltered, suffix } = useMemo(() => logbookFilter(params), [params]);
  const pages = useTrialPages(query);
  const [picked, setPicked] = useState<ReadonlySet<string>>(nothingPicked);
  const [active, setActive] = useState<TrialSummary | undefined>(undefined);
  const [hidden, setHidden] = useState(rememberedHiddenColumns);
  const layout = useMemo(() => tableLayout(hidden), [hidden]);
  const copier = useTrialCopy(active, picked);

  const change = useCallback(
    (key: FilterKey, value: string | null, isTyping: boolean) => {
      setPicked(nothingPicked);
      setParams((before) => withFilter(before, key, value), { replace: isTyping });
    },
    [setParams],
  );
  const clear = () => setParams(new URLSearchParams());
  const chooseColumns = (next: ReadonlySet<ColumnKey>) => {
    rememberHiddenColumns(next);
    setHidden(next);
  };
  const { total } = pages;

  return (
    <div className="logbook-list">
      <Page title="Logbook" actions={<LinkButton href={sessionsAddress}>Sessions</LinkButton>}>
        {total === 0 && !isFiltered ? (
          <NoTrialsYet />
        ) : (
          <>
            <RecomputationNotice />
            {isFiltered ? null : <UndecidedNotice onShow={(state) => change('state', state, false)} />}
            <LogbookFilters filter={filter} onChange={change} />
            <FilterMarks filter={filter} onRemove={(key) => change(key, null, false)} onClear={clear} />
            {filter.state === 'suspect' && total !== null && total > 0 ? (
              <SuspectNotice query={query} total={total} />
            ) : null}
            {pages.error === null ? null : (
              <Notice kind="fault" live="alert" actions={<Button onPress={pages.refresh}>Ask again</Button>}>
                {pages.error.message}
              </Notice>
            )}
            {total === null ? null : total === 0 ? (
              <EmptyState title="Nothing matches" actions={<Button onPress={clear}>Show every trial</Button>}>
                <p>
                  No trial fits all of these filters. Trials are never deleted, so it may be under another
                  name.
                </p>
              </EmptyState>
            ) : (
              <>
                <LogbookToolbar
                  total={total}
                  isFiltered={isFiltered}
                  suffix={suffix}
                  picked={picked}
                  onPickNone={() => setPicked(nothingPicked)}
                  copier={copier}
                  hidden={hidden}
                  onHidden={chooseColumns}
                />
                <TrialTable
                  key={suffix}
                  total={total}
                  pages={pages}
                  layout={layout}
                  sort={sort}
                  onSort={(next) => setParams((before) => withSort(before, next), { replace: true })}
                  picked={picked}
                  onPick={(trialId) => setPicked(withToggled(picked, trialId))}
                  onActive={setActive}
                  onCopy={copier.copyAtOnce}
                  listKey={suffix}
                />
              </>
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
