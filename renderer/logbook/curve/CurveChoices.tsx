import { memo } from 'react';
import { Switch } from '../../ui/Toggles.tsx';
import type { CurveChoice } from './paint-curve.ts';

interface CurveChoicesProps {
  readonly choice: CurveChoice;
  readonly onChoice: (choice: CurveChoice) => void;
  readonly hasDisplay: boolean;
  readonly colorIndex: number;
}

/** Which curves are in the picture; the legend too. Nothing of it changes with a step. */
export const CurveChoices = memo(function CurveChoices(props: CurveChoicesProps) {
  const { choice, onChoice, hasDisplay, colorIndex } = props;
  return (
    <div className="trial-choices" role="group" aria-label="Curves in the picture">
      <Switch isSelected={choice.measuring} onChange={(measuring) => onChoice({ ...choice, measuring })}>
        <CurveSample kind="measuring" colorIndex={colorIndex} /> Measuring curve, which all figures come from
      </Switch>
      <Switch isSelected={choice.raw} onChange={(raw) => onChoice({ ...choice, raw })}>
        <CurveSample kind="raw" /> Raw samples, least to greatest
      </Switch>
      <Switch
        isSelected={choice.display && hasDisplay}
        onChange={(display) => onChoice({ ...choice, display })}
        isDisabled={!hasDisplay}
      >
        <CurveSample kind="display" /> Display curve, 20 Hz low-pass, for the eye only
      </Switch>
    </div>
  );
});

interface CurveSampleProps {
  readonly kind: 'measuring' | 'raw' | 'display';
  /** Left out: the colour of the text. */
  readonly colorIndex?: number;
}

function CurveSample({ kind, colorIndex }: CurveSampleProps) {
  const stroke = colorIndex === undefined ? {} : { style: { stroke: `var(--curve-${colorIndex + 1})` } };
  return (
    <svg className={`trial-sample trial-sample-${kind}`} viewBox="0 0 32 16" aria-hidden="true">
      {kind === 'raw' ? <rect x="1" y="3" width="30" height="10" /> : <path d="M1 8h30" {...stroke} />}
    </svg>
  );
}
