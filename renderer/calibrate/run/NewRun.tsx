import { useState } from 'react';
import { Link } from 'wouter';
import type { Standards } from '../../../shared-lib/calibration/standards-model.ts';
import { useConnection, useStatus } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { calibrateAddresses } from '../calibrate-addresses.ts';
import { HangingWeightCaution } from '../HangingWeightCaution.tsx';
import { DemoStandards } from '../standards/DemoStandards.tsx';
import { useStandards } from '../standards/use-standards.ts';
import {
  offerRemembered,
  offerSetup,
  type OfferedForm,
  readRunForm,
  type RunForm,
  usualRunForm,
} from './run-form.ts';
import { RunPreview } from './RunPreview.tsx';
import { RunSetupFields } from './RunSetupFields.tsx';
import './run.css';
import { rememberedRunForm, rememberRunForm, useLastSetup } from './use-last-setup.ts';

/** Before a run: what hangs where, what comes of it, and one button that begins it. */
export function NewRun() {
  const list = useStandards();
  const isSimulated = useStatus()?.amplifier.source === 'simulated';
  const last = useLastSetup();
  if (list.standards === null || !last.isKnown) return <FailureNotice error={list.error} />;
  const { weights, arms, sites } = list.standards;
  if (weights.length === 0 || arms.length === 0 || sites.length === 0) {
    return (
      <>
        {isSimulated ? <DemoStandards standards={list.standards} save={list.save} /> : null}
        <EmptyState
          title="Weights first"
          actions={<Link href={calibrateAddresses.standards}>Enter weights, arm and place</Link>}
        >
          <p>
            A guided calibration hangs known weights on an arm, says which one comes next, and takes each
            reading by itself once it is steady. It needs at least one weight, one arm, and the place where
            they hang: they are entered once.
          </p>
        </EmptyState>
      </>
    );
  }
  const remembered = rememberedRunForm();
  const offered: OfferedForm =
    remembered !== null
      ? offerRemembered(remembered, list.standards)
      : last.setup !== null
        ? offerSetup(last.setup, list.standards)
        : { form: usualRunForm(list.standards, isSimulated), lostNames: [] };
  return <RunSetupForm standards={list.standards} offered={offered} />;
}

interface RunSetupFormProps {
  readonly standards: Standards;
  readonly offered: OfferedForm;
}

function RunSetupForm({ standards, offered }: RunSetupFormProps) {
  const connection = useConnection();
  const status = useStatus();
  const [form, setForm] = useState<RunForm>(offered.form);
  const change = (next: RunForm) => {
    setForm(next);
    rememberRunForm(next);
  };
  const reading = readRunForm(form, standards);
  const setup = 'value' in reading ? reading.value : null;
  const preview = useRequest('previewRun', setup === null ? null : { setup });
  const { run, isBusy, error } = useAction();
  const isCurrent = setup !== null && preview.error === null && !preview.isLoading;
  const shown = isCurrent ? preview.result : null;
  const isConnected = status?.amplifier.link === 'connected';
  const isStopped = shown?.findings.some(({ severity }) => severity === 'stop') ?? true;

  const start = () =>
    run(async () => {
      if (setup === null) return;
      rememberRunForm(form);
      await connection.request('startRun', { setup });
    });

  return (
    <>
      <HangingWeightCaution />
      {offered.lostNames.length === 0 ? null : (
        <Notice kind="information">
          What was chosen last used {offered.lostNames.join(', ')}, no longer on the lists. Choose what takes
          the place.
        </Notice>
      )}
      <Panel
        title="Start"
        lead={
          isConnected
            ? 'As set below. Each reading is taken by itself once it is steady; you hang the weights.'
            : 'No amplifier is connected: connect one in Setup, then the run can begin.'
        }
        actions={
          <span className="run-start">
            <Button
              look="primary"
              size="bench"
              isDisabled={!isConnected || setup === null || isStopped}
              isPending={isBusy}
              onPress={() => void start()}
            >
              Start hanging weights
            </Button>
          </span>
        }
      >
        <FailureNotice error={error} />
        <RunPreview
          missing={'missing' in reading ? reading.missing : []}
          preview={shown}
          error={preview.error}
          setup={setup}
        />
        {isConnected ? null : (
          <ActionRow>
            <Link href="/setup#amplifier">Connect an amplifier in Setup</Link>
          </ActionRow>
        )}
      </Panel>
      <RunSetupFields
        form={form}
        standards={standards}
        setup={setup}
        levelsNm={shown?.levelsNm ?? []}
        onChange={change}
      />
    </>
  );
}
