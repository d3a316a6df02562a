import type { RefObject } from 'react';
import type { TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { readCurveColors } from '../../live-curve/curve-style.ts';
import { Button } from '../../ui/Button.tsx';
import { ActionRow } from '../../ui/Panel.tsx';
import { saveBlob } from '../../ui/save-file.ts';
import { CopyOutcomeLine } from '../copying/CopyOutcomeLine.tsx';
import { useCopy } from '../copying/use-copy.ts';
import { chartPicture } from './chart-png.ts';
import { pictureWords } from './picture-words.ts';
import type { CurveChoice } from './paint-curve.ts';
import type { TrialChart } from './trial-chart.ts';

interface PictureActionsProps {
  readonly record: TrialRecord;
  readonly chartRef: RefObject<TrialChart | null>;
  readonly choice: CurveChoice;
  readonly colorIndex: number;
  readonly readBy: string;
}

/** The curve as it is in sight, as a picture that says by itself what it shows. */
export function PictureActions({ record, chartRef, choice, colorIndex, readBy }: PictureActionsProps) {
  const copier = useCopy();
  const draw = async (): Promise<Blob> => {
    const chart = chartRef.current;
    const host = chart?.canvas.parentElement;
    if (chart === null || host == null) throw new Error('There is no chart to make a picture of.');
    const colors = readCurveColors(host);
    return chartPicture(chart.canvas, pictureWords(record, choice, readBy, colors, colorIndex), colors);
  };
  const save = async () => saveBlob(`trial-${record.summary.id}-curve.png`, await draw());
  return (
    <ActionRow>
      <Button onPress={() => void copier.copyPicture('the picture of the curve', draw)}>
        Copy the picture
      </Button>
      <Button onPress={() => void save()}>Save the picture as PNG</Button>
      <CopyOutcomeLine outcome={copier.outcome} />
    </ActionRow>
  );
}
