import { useState } from 'react';
import { Link } from 'wouter';
import { fromOwnUnit } from '../../../shared-lib/format-quantity.ts';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { type AlignedRun, runPairs } from './aligned-curves.ts';
import { CurvesPicture, type SideLook } from './CurvesPicture.tsx';
import './curves.css';

interface RunByRunProps {
  readonly runs: readonly AlignedRun[];
  readonly looks: readonly SideLook[];
  readonly fromS: number;
  readonly toS: number;
}

const SIZE = { width: 460, height: 240 };

/** One small picture for each run of both, where all curves in one picture hide a single one. */
export function RunByRun({ runs, looks, fromS, toS }: RunByRunProps) {
  const torque = useTorqueDisplay();
  const [isOpen, setIsOpen] = useState(false);
  if (runs.length === 0) return null;
  // A and B are what the pictures are small for: their names stand above.
  const shortLooks = looks.map((look) => ({ ...look, label: look.side.toUpperCase() }));
  return (
    <details onToggle={({ currentTarget }) => setIsOpen(currentTarget.open)}>
      <summary>Run by run</summary>
      {isOpen ? (
        <div className="curves-multiples">
          {runPairs(runs).map(({ a, b }, index) => (
            <figure key={`${a?.trialId ?? ''} ${b?.trialId ?? ''}`} className="curves-figure">
              <h3>
                Run {index + 1}
                {a === null ? null : <Link href={`/logbook/${a.trialId}`}>Trial of A</Link>}
                {b === null ? null : <Link href={`/logbook/${b.trialId}`}>Trial of B</Link>}
              </h3>
              <CurvesPicture
                runs={[a, b].filter((run) => run !== null)}
                looks={shortLooks}
                fromS={fromS}
                toS={toS}
                shownPerNm={fromOwnUnit(1, torque.unit)}
                yTitle={torque.unitLabel}
                summary={`Run ${index + 1} of each: ${looks.map(({ label }) => label).join(' and ')}.`}
                size={SIZE}
                checkpoints={[]}
                lead={null}
              />
            </figure>
          ))}
        </div>
      ) : null}
    </details>
  );
}
