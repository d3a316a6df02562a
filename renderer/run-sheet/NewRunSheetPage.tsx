import { useState } from 'react';
import { useLocation } from 'wouter';
import type { Plan } from '../../shared-lib/run-sheet/plan-model.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { useRequest } from '../api-client/use-request.ts';
import { Button } from '../ui/Button.tsx';
import { EmptyState } from '../ui/EmptyState.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { LinkButton } from '../ui/LinkButton.tsx';
import { ActionRow } from '../ui/Panel.tsx';
import { localDay } from '../calibrate/local-day.ts';
import { DemoItems } from './items/DemoItems.tsx';
import { type BenchItems, useBenchItems } from './items/use-bench-items.ts';
import { draftOf, newDraftForm, withPlan } from './draft-form.ts';
import { DraftFields } from './DraftFields.tsx';
import { PreparationPage } from './PreparationPage.tsx';
import { RoundPlanner } from './RoundPlanner.tsx';
import { runSheetAddresses } from './run-sheet-addresses.ts';
import { RunSheetPreview } from './RunSheetPreview.tsx';

/** Makes a run sheet from setups, a plan and an order. */
export function NewRunSheetPage() {
  const { items, error, save } = useBenchItems();
  const plans = useRequest('listPlans', {}, 'runSheetsChanged');
  const [firstPlan] = plans.result?.plans.slice(-1) ?? [];
  const hasSetups = items?.setups.some(({ isArchived }) => !isArchived) ?? false;
  return (
    <PreparationPage title="Make a run sheet">
      <FailureNotice error={error ?? plans.error} />
      {items === null || plans.result === null || firstPlan === undefined ? null : hasSetups ? (
        <DraftView
          items={items}
          plans={plans.result.plans}
          firstPlan={fullSet(plans.result.plans, firstPlan)}
        />
      ) : (
        <>
          <DemoItems items={items} save={save} />
          <EmptyState
            title="No setup yet"
            actions={
              <LinkButton href={runSheetAddresses.items} look="primary">
                Enter tools and setups
              </LinkButton>
            }
          >
            <p>A run sheet is made from setups: a tool with its pack, its setting and its socket.</p>
          </EmptyState>
        </>
      )}
    </PreparationPage>
  );
}

/** The most complete ready-made plan is offered first. */
function fullSet(plans: readonly Plan[], otherwise: Plan): Plan {
  return plans.toSorted((a, b) => b.steps.length - a.steps.length)[0] ?? otherwise;
}

interface DraftViewProps {
  readonly items: BenchItems;
  readonly plans: readonly Plan[];
  readonly firstPlan: Plan;
}

function DraftView({ items, plans, firstPlan }: DraftViewProps) {
  const connection = useConnection();
  const [, navigate] = useLocation();
  const [held, setForm] = useState(() => newDraftForm(firstPlan, localDay(new Date()), drawSeed()));
  // As it is by now: a plan may be changed in another window.
  const form = { ...held, plan: plans.find(({ id }) => id === held.plan.id) ?? held.plan };
  const { run, isBusy, error } = useAction();
  const reading = draftOf(form);
  const draft = 'value' in reading ? reading.value : null;
  const preview = useRequest('previewRunSheet', draft === null ? null : { draft }, 'runSheetsChanged');
  const isStopped = preview.result?.findings.some(({ severity }) => severity === 'stop') ?? true;
  const canMake = draft !== null && !isStopped && !preview.isLoading;

  const make = (isOpened: boolean) =>
    void run(async () => {
      if (draft === null) return;
      const sheet = await connection.request('makeRunSheet', { draft });
      if (isOpened) await connection.request('openRunSheet', { runSheetId: sheet.id });
      navigate(isOpened ? '/bench' : runSheetAddresses.sheets);
    });

  return (
    <>
      <DraftFields
        form={form}
        items={items}
        plans={plans}
        onChange={(part) => setForm((before) => ({ ...before, ...part }))}
        onPlan={(plan) => setForm((before) => withPlan(before, plan, localDay(new Date())))}
        onDrawSeed={() => setForm((before) => ({ ...before, seed: drawSeed() }))}
      />
      <RoundPlanner
        plan={form.plan}
        setupCount={form.setupIds.length}
        hasReference={form.referenceSetupId !== null}
        onRounds={(rounds) => setForm((before) => ({ ...before, rounds: String(rounds) }))}
      />
      <RunSheetPreview
        missing={'missing' in reading ? reading.missing : []}
        preview={draft === null ? null : preview.result}
        error={preview.error}
      />
      <FailureNotice error={error} />
      <ActionRow>
        <Button look="primary" isDisabled={!canMake} isPending={isBusy} onPress={() => make(true)}>
          Make it and put it on the bench
        </Button>
        <Button isDisabled={!canMake} isPending={isBusy} onPress={() => make(false)}>
          Make it for later
        </Button>
      </ActionRow>
    </>
  );
}

function drawSeed(): number {
  return crypto.getRandomValues(new Uint32Array(1))[0] ?? 0;
}
