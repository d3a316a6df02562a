import { useMemo, useState } from 'react';
import { useSettings } from '../../api-client/ConnectionContext.tsx';
import type { TorqueUnit } from '../../../shared-lib/api-contract.ts';
import type { Subject } from '../../../shared-lib/publishing/publishing-model.ts';
import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { formatDay } from '../../ui/date-time.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { formatChoices } from '../chart/chart-words.ts';
import { unitChoices } from '../unit-choices.ts';
import { usualChoice } from './choose-trials.ts';
import { OnOverlay } from './OnOverlay.tsx';
import type { ReplayLook } from './paint-frames.ts';
import { extentOf, replayChart } from './replay-chart.ts';
import { ReplayFiles } from './ReplayFiles.tsx';
import { ReplayPlayer } from './ReplayPlayer.tsx';
import { groundChoices, themeChoices } from './replay-words.ts';
import { TrialChoice } from './TrialChoice.tsx';
import { useReplayed, useReplayTrials } from './use-replay-trials.ts';
import './replay.css';

export interface ReplayViewProps {
  /** Whose trials are replayed; null: they are to be chosen. */
  readonly subject: Subject | null;
}

/** A film has no paper. */
const filmFormats = formatChoices.filter(({ key }) => key !== 'print');

/** Stored trials at true speed, side by side, and a video file of it. */
export function ReplayView({ subject }: ReplayViewProps) {
  const shownUnit = useSettings()?.torqueUnit ?? 'Nm';
  const { result, error, reload } = useReplayTrials(subject);
  const trials = result?.trials ?? null;
  const [chosen, setChosen] = useState<readonly string[] | null>(null);
  const [look, setLook] = useState<
    Omit<ReplayLook, 'torqueUnit'> & { readonly torqueUnit: TorqueUnit | null }
  >({
    format: 'wide',
    theme: 'dark',
    ground: 'transparent',
    torqueUnit: null,
  });
  const trialIds = useMemo(() => {
    const there = new Set(trials?.map(({ id }) => id));
    const wanted = chosen?.filter((id) => there.has(id)) ?? [];
    return chosen === null ? usualChoice(trials ?? []) : wanted;
  }, [trials, chosen]);
  const replayed = useReplayed(trialIds);
  const chart = useMemo(
    () => (replayed.trials.length === 0 ? null : replayChart(replayed.trials, formatDay)),
    [replayed.trials],
  );
  const torqueUnit = look.torqueUnit ?? shownUnit;
  const wholeLook = useMemo(() => ({ ...look, torqueUnit }), [look, torqueUnit]);
  const change = (part: Partial<typeof look>): void => setLook((before) => ({ ...before, ...part }));

  if (error !== null) {
    return (
      <>
        <FailureNotice error={error} />
        <div>
          <Button onPress={reload}>Ask again</Button>
        </div>
      </>
    );
  }
  if (trials === null) return <p role="status">Looking up the trials.</p>;
  if (trials.length === 0) {
    return (
      <Notice kind="information">
        There is no kept trial here that could be replayed. Choose something else to publish above, or keep a
        trial on the Bench.
      </Notice>
    );
  }
  return (
    <div className="replay-view">
      <div className="replay-stage" aria-busy={replayed.isLoading}>
        <FailureNotice error={replayed.error} />
        {chart === null ? (
          <p role="status">
            {trialIds.length === 0 ? 'Choose one to five trials.' : 'The curves are being read.'}
          </p>
        ) : (
          <ReplayPlayer key={replayed.key} chart={chart} look={wholeLook} />
        )}
        <TrialChoice trials={trials} total={result?.total ?? 0} chosen={trialIds} onChoose={setChosen} />
      </div>
      <section className="share-choices" aria-label="How it looks">
        <SelectField
          label="Format"
          options={filmFormats}
          selected={look.format}
          onSelect={(format) => change({ format })}
        />
        <ChoiceField
          label="Letters and lines"
          choices={themeChoices}
          selected={look.theme}
          onSelect={(theme) => change({ theme })}
        />
        <ChoiceField
          label="Ground"
          choices={groundChoices}
          selected={look.ground}
          onSelect={(ground) => change({ ground })}
        />
        <ChoiceField
          label="Unit"
          choices={unitChoices}
          selected={torqueUnit}
          onSelect={(unit) => change({ torqueUnit: unit })}
        />
        {chart === null ? null : (
          <>
            <ReplayFiles chart={chart} look={wholeLook} />
            <OnOverlay trialIds={trialIds} extent={extentOf(chart)} />
          </>
        )}
      </section>
    </div>
  );
}
