import type { RunProgress } from '../../../shared-lib/calibration/run-model.ts';
import { StateShape } from '../../ui/StateShape.tsx';
import '../../ui/state-shape.css';
import { dwellShare, phaseWords, steadinessFigures } from './run-sentences.ts';

export interface SteadinessMeterProps {
  readonly progress: RunProgress | null;
  readonly isPaused: boolean;
}

/** Steady or not: a word and a shape, and a bar that fills while the dwell passes. */
export function SteadinessMeter({ progress, isPaused }: SteadinessMeterProps) {
  const { word, detail, shape } = isPaused
    ? ({ word: 'Paused', detail: 'Nothing is taken until you go on.', shape: 'off' } as const)
    : phaseWords(progress);
  const share = isPaused ? 0 : dwellShare(progress);
  return (
    <div className="run-meter">
      <p className="run-meter-word" role="status">
        <StateShape shape={shape} />
        {word}
      </p>
      <progress className="run-meter-bar" aria-label="Stillness so far" value={share} max={1} />
      <p className="run-meter-detail">
        {detail} <span className="run-aside">{steadinessFigures(progress)}</span>
      </p>
    </div>
  );
}
