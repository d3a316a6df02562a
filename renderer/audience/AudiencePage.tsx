import { useEffect } from 'react';
import { useLinkState, useSettings, useStatus } from '../api-client/ConnectionContext.tsx';
import { BigFigure } from '../bench/BigFigure.tsx';
import { STATIC_CALIBRATION } from '../bench/bench-sentences.ts';
import { sizeProperties, useBenchSizes } from '../bench/use-bench-sizes.ts';
import { CurvePane } from '../bench/CurvePane.tsx';
import { useHandlingQuestion } from '../bench/handling/use-handling-question.ts';
import { WordsTogether } from '../bench/WordsTogether.tsx';
import { needsAwakeScreen, useScreenWake } from '../bench/use-screen-wake.ts';
import { applyTheme } from '../frame/theme.ts';
import { usePageTitle } from '../ui/use-page-title.ts';
import { describeForAudience } from './audience-sentences.ts';
import './audience.css';

/**
 * For a second screen: the figure, the curve and what is being tried, without a control. It shows no more than the Bench does, so
 * a result only once the trial has been kept.
 */
export function AudiencePage() {
  usePageTitle('Audience view');
  const status = useStatus();
  const linkState = useLinkState();
  const theme = useSettings()?.theme;
  const sizes = useBenchSizes();
  useEffect(() => {
    if (theme !== undefined) applyTheme(theme);
  }, [theme]);
  useScreenWake(needsAwakeScreen(status));
  const { what, state, detail } = describeForAudience(status, linkState);
  // The operator may look this way too.
  const isHeldBack = useHandlingQuestion(status).state !== 'none';
  const isReached = linkState === 'open';
  return (
    <main className="audience" style={sizeProperties(sizes)}>
      <div className="audience-head">
        {status === null ? (
          <div />
        ) : (
          <BigFigure status={status} isReached={isReached} isHeldBack={isHeldBack} />
        )}
        <div className="audience-words" aria-live="polite">
          <p className="audience-state">{state}</p>
          <h1>
            <WordsTogether text={what} />
          </h1>
          {detail === null ? null : <p className="audience-detail">{detail}</p>}
        </div>
      </div>
      {status === null ? null : (
        <CurvePane
          status={status}
          isReached={isReached}
          axisPx={Math.round(sizes.axisPx * AXIS_SCALE)}
          areFaultsShown={false}
          isHeldBack={isHeldBack}
        />
      )}
      <p className="audience-note">{STATIC_CALIBRATION}</p>
    </main>
  );
}

/** Read from further away than the Bench. */
const AXIS_SCALE = 1.3;
