import { useMemo, useState } from 'react';
import { useSearchParams } from 'wouter';
import { drawChart } from '../../../shared-lib/charts/draw-chart.ts';
import type { Picture } from '../../../shared-lib/picture/picture-model.ts';
import { useSettings } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { useReloadOn } from '../../compare/use-reload-on.ts';
import { pictureAsPng, pictureAsSvg } from '../../picture/picture-files.ts';
import { PictureCanvas } from '../../picture/PictureCanvas.tsx';
import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { saveBlob } from '../../ui/save-file.ts';
import { readPictureChoice, shareAddress, withPictureChoice } from '../share-address.ts';
import { unitChoices } from '../unit-choices.ts';
import type { ShownSubject } from '../subject/WithSubject.tsx';
import { chartNames, formatChoices, noChartWords, pictureName } from './chart-words.ts';

const outdatedBy = ['settingsChanged', 'catalogueChanged', 'standingsChanged'] as const;

const themeChoices = [
  { key: 'light', label: 'Light' },
  { key: 'dark', label: 'Dark' },
] as const;

const groundChoices = [
  { key: 'solid', label: 'Solid' },
  { key: 'none', label: 'None' },
] as const;

/** A chart exactly as it will be saved, and how it is to look. */
export function ChartView({ subject, description }: ShownSubject) {
  const [params, setParams] = useSearchParams();
  const choice = readPictureChoice(params);
  const shownUnit = useSettings()?.torqueUnit ?? 'Nm';
  const chart = description.charts.find((one) => one === choice.chart) ?? description.charts[0];
  const { result, error, isLoading, reload } = useRequest(
    'getChart',
    chart === undefined ? null : { subject, chart },
    'trialsChanged',
  );
  useReloadOn(outdatedBy, reload);
  const { format, theme, ground } = choice;
  const torqueUnit = choice.unit ?? shownUnit;
  const picture = useMemo(
    () =>
      result === null || result.kind !== chart
        ? null
        : drawChart(result, { format, theme, torqueUnit }, { isTransparent: ground === 'none' }),
    [result, chart, format, theme, torqueUnit, ground],
  );
  if (chart === undefined) return <NoChart subject={subject} description={description} />;
  const change = (part: Parameters<typeof withPictureChoice>[1]) =>
    setParams((now) => withPictureChoice(now, part), { replace: true });
  return (
    <div className="share-beside">
      <div className="share-stage" aria-busy={isLoading}>
        <FailureNotice error={error} />
        {error === null ? null : (
          <div>
            <Button onPress={reload}>Draw it again</Button>
          </div>
        )}
        {picture === null && error === null ? <p role="status">The picture is being drawn.</p> : null}
        {picture === null ? null : (
          <div className="share-preview">
            <div
              className={ground === 'none' ? 'share-groundless' : undefined}
              data-theme={theme}
              style={{ inlineSize: previewWidth(picture) }}
            >
              <PictureCanvas picture={picture} />
            </div>
          </div>
        )}
      </div>
      <section className="share-choices" aria-label="How it looks">
        {description.charts.length < 2 ? null : (
          <ChoiceField
            label="Chart"
            choices={description.charts.map((key) => ({ key, label: chartNames[key] }))}
            selected={chart}
            onSelect={(next) => change({ chart: next })}
          />
        )}
        <SelectField
          label="Format"
          options={formatChoices}
          selected={format}
          onSelect={(next) => change({ format: next })}
        />
        <ChoiceField
          label="Theme"
          choices={themeChoices}
          selected={theme}
          onSelect={(next) => change({ theme: next })}
        />
        <ChoiceField
          label="Ground"
          choices={groundChoices}
          selected={ground}
          onSelect={(next) => change({ ground: next })}
          {...(ground === 'none'
            ? { help: 'Shown over an example; the saved picture has only its letters and lines.' }
            : {})}
        />
        {chart === 'places' ? null : (
          <ChoiceField
            label="Unit"
            choices={unitChoices}
            selected={torqueUnit}
            onSelect={(next) => change({ unit: next })}
          />
        )}
        <SavePicture
          picture={picture}
          nameFor={(extension) => pictureName(description, chart, choice, new Date(), extension)}
        />
      </section>
    </div>
  );
}

/** What there is instead. */
function NoChart({ subject, description: { hasReport, trialIds } }: ShownSubject) {
  return (
    <Notice
      kind="information"
      actions={
        <>
          {hasReport ? <LinkButton href={shareAddress('report', subject)}>Show its report</LinkButton> : null}
          {trialIds.length > 0 ? (
            <LinkButton href={shareAddress('data', subject)}>Show its data</LinkButton>
          ) : null}
        </>
      }
    >
      {noChartWords(subject)}
    </Notice>
  );
}

/** As large as the place allows without scrolling, but never so small that nothing can be read. */
function previewWidth({ widthPx, heightPx }: Picture): string {
  return `min(100%, calc(max(30rem, 100vh - 24rem) * ${widthPx / heightPx}))`;
}

interface SavePictureProps {
  readonly picture: Picture | null;
  readonly nameFor: (extension: 'png' | 'svg') => string;
}

function SavePicture({ picture, nameFor }: SavePictureProps) {
  const { run, isBusy, error } = useAction();
  const [savedName, setSavedName] = useState('');
  const save = async (extension: 'png' | 'svg', make: (picture: Picture) => Promise<Blob>): Promise<void> => {
    if (picture === null) return;
    setSavedName('');
    const name = nameFor(extension);
    if (await run(async () => saveBlob(name, await make(picture)))) setSavedName(name);
  };
  return (
    <div className="share-save">
      <Button
        look="primary"
        isDisabled={picture === null}
        isPending={isBusy}
        onPress={() => void save('png', pictureAsPng)}
      >
        Save picture (PNG)
      </Button>
      <Button isDisabled={picture === null} isPending={isBusy} onPress={() => void save('svg', pictureAsSvg)}>
        Save picture (SVG)
      </Button>
      <FailureNotice error={error} />
      <p className="share-outcome" role="status">
        {savedName === '' ? '' : `Handed to this window's downloads: ${savedName}`}
      </p>
    </div>
  );
}
