import { useEffect, useRef, useState } from 'react';
import { Label, ProgressBar } from 'react-aria-components';
import { AppError } from '../../../shared-lib/app-error.ts';
import { type CurveChart, chartFormats } from '../../../shared-lib/charts/chart-model.ts';
import { drawChart } from '../../../shared-lib/charts/draw-chart.ts';
import { publishedName } from '../../../shared-lib/publishing/published-name.ts';
import { loadPictureFonts } from '../../picture/picture-fonts.ts';
import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { saveBlob } from '../../ui/save-file.ts';
import type { FrameSource } from './make-file.ts';
import { paintFrame, type ReplayLook } from './paint-frames.ts';
import { extentOf } from './replay-chart.ts';
import { frameCountOf, type FrameRate, instantOfFrameS, type ReplayTiming } from './replay-timing.ts';
import { rateChoices, sizeWords } from './replay-words.ts';
import { useEncoder } from './use-encoder.ts';

interface ReplayFilesProps {
  readonly chart: CurveChart;
  readonly look: ReplayLook;
}

type FileKind = 'webm' | 'zip';

interface Making {
  readonly kind: FileKind;
  readonly doneFrames: number;
  readonly frameCount: number;
  readonly end: AbortController;
}

/** The replay as a file, made on this page frame by frame, as fast as this computer can. */
export function ReplayFiles({ chart, look }: ReplayFilesProps) {
  const [rate, setRate] = useState<`${FrameRate}`>('30');
  const [making, setMaking] = useState<Making | null>(null);
  const [outcome, setOutcome] = useState('');
  const [failure, setFailure] = useState<AppError | null>(null);
  const encoder = useEncoder(look.format);
  const running = useRef<AbortController | null>(null);
  // Whoever leaves the page does not want the file any more.
  useEffect(() => () => running.current?.abort(), []);

  const make = async (kind: FileKind): Promise<void> => {
    const end = new AbortController();
    running.current = end;
    const timing = { ...extentOf(chart), frameRate: rate === '60' ? 60 : 30 } as const;
    const frameCount = frameCountOf(timing);
    setOutcome('');
    setFailure(null);
    setMaking({ kind, doneFrames: 0, frameCount, end });
    try {
      await loadPictureFonts(drawChart(chart, look));
      const file = await makeFile(kind, {
        ...sourceOf(chart, look, timing),
        timing,
        frameCount,
        signal: end.signal,
        onProgress: (doneFrames) => setMaking({ kind, doneFrames, frameCount, end }),
      });
      const name = fileName(chart, look, timing.frameRate, kind);
      saveBlob(name, file);
      setOutcome(`Handed to this window's downloads: ${name}, ${sizeWords(file.size)}.`);
    } catch (error) {
      if (!(error instanceof AppError)) throw error;
      if (error.code === 'cancelled') setOutcome('Cancelled. Nothing was saved.');
      else setFailure(error);
    } finally {
      running.current = null;
      setMaking(null);
    }
  };

  const makeFile = async (kind: FileKind, source: FrameSource): Promise<Blob> => {
    if (kind === 'zip') return (await import('./make-png-sequence.ts')).makePngSequence(source);
    if (encoder === 'looking' || encoder === null) throw new Error('There is no encoder');
    const { makeWebm } = await import('./make-webm.ts');
    return makeWebm(source, encoder, look.ground !== 'solid');
  };

  return (
    <div className="share-save">
      <ChoiceField
        label="Frames"
        choices={rateChoices}
        selected={rate}
        onSelect={setRate}
        isDisabled={making !== null}
      />
      {encoder === null ? (
        <Notice kind="information">
          This browser has no video encoder that keeps transparency, so there is no video file here. The PNG
          sequence needs none, and every editing program takes it.
        </Notice>
      ) : (
        <Button
          look="primary"
          isDisabled={making !== null || encoder === 'looking'}
          onPress={() => void make('webm')}
        >
          Save video (WebM)
        </Button>
      )}
      <Button
        look={encoder === null ? 'primary' : 'plain'}
        isDisabled={making !== null}
        onPress={() => void make('zip')}
      >
        Save PNG sequence (ZIP)
      </Button>
      {making === null ? null : (
        <div className="replay-making">
          <ProgressBar
            className="share-progress"
            value={making.doneFrames}
            maxValue={making.frameCount}
            valueLabel={`${making.doneFrames} of ${making.frameCount} frames`}
          >
            {({ percentage = 0, valueText }) => (
              <>
                <span className="share-progress-words">
                  <Label>{making.kind === 'webm' ? 'Making the video' : 'Making the pictures'}</Label>
                  <span>{valueText ?? ''}</span>
                </span>
                <span className="share-progress-track">
                  <span className="share-progress-fill" style={{ inlineSize: `${percentage}%` }} />
                </span>
              </>
            )}
          </ProgressBar>
          <Button onPress={() => making.end.abort()}>Cancel</Button>
        </div>
      )}
      <FailureNotice error={failure} />
      <p className="share-outcome" role="status">
        {outcome}
      </p>
    </div>
  );
}

function sourceOf(
  chart: CurveChart,
  look: ReplayLook,
  timing: ReplayTiming,
): Pick<FrameSource, 'canvas' | 'paint' | 'pixels'> {
  const { widthPx, heightPx } = chartFormats[look.format];
  const canvas = new OffscreenCanvas(widthPx, heightPx);
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (context === null) throw new Error('This browser gives no 2D canvas.');
  return {
    canvas,
    paint(frame) {
      paintFrame(context, chart, look, instantOfFrameS(timing, frame));
    },
    pixels: () => context.getImageData(0, 0, widthPx, heightPx),
  };
}

function fileName(chart: CurveChart, { format }: ReplayLook, frameRate: FrameRate, kind: FileKind): string {
  return publishedName({
    title: chart.title,
    isSimulated: chart.notes.some((note) => note.startsWith('Simulated')),
    holds: `replay ${format} ${String(frameRate)} fps`,
    madeAt: new Date(),
    extension: kind,
  });
}
