import { Copy } from 'lucide-react';
import { Link } from 'wouter';
import type { CalibrationVersion } from '../../../shared-lib/calibration/calibration-model.ts';
import type { TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { STATIC_CALIBRATION } from '../../bench/bench-sentences.ts';
import { QualityMark } from '../../bench/QualityMark.tsx';
import { reportAddress } from '../../calibrate/calibrate-addresses.ts';
import { Button } from '../../ui/Button.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { figureAsText, figuresAsTable } from '../copying/copy-figures.ts';
import { CopyOutcomeLine } from '../copying/CopyOutcomeLine.tsx';
import { useCopy } from '../copying/use-copy.ts';
import { figureGroups, figureRows } from '../../../shared-lib/trial/words/figure-rows.ts';
import type { FigureRow } from '../../../shared-lib/trial/words/figure-row.ts';

interface FiguresPanelProps {
  readonly record: TrialRecord;
  /** By which calibration they are read, in a sentence. */
  readonly readBy: string;
  /** Null: it is not in the list. */
  readonly calibration: CalibrationVersion | null;
}

export function FiguresPanel({ record, readBy, calibration }: FiguresPanelProps) {
  const torque = useTorqueDisplay();
  const { outcome, copyText } = useCopy();
  const { figures, summary } = record;
  if (figures === null) {
    return (
      <Panel title="Figures">
        <p>
          They show once the trial has been kept. Until then they stay hidden, so that nobody picks results by
          them.
        </p>
      </Panel>
    );
  }
  const rows = figureRows(figures, torque);
  const credit = `${STATIC_CALIBRATION} ${readBy} Definitions ${figures.definitionVersion}.`;
  return (
    <Panel
      title="Figures"
      lead="Positive in the direction of the trial."
      actions={
        <>
          <CopyOutcomeLine outcome={outcome} />
          <Button onPress={() => void copyText('all figures', figuresAsTable(summary, rows, credit))}>
            Copy all
          </Button>
        </>
      }
    >
      <QualityMark quality={figures.quality} isVoided={summary.isVoided} />
      {figureGroups(rows).map(({ group, rows: ofGroup }) => (
        <section key={group} className="trial-figures" aria-label={group}>
          <h3>{group}</h3>
          <dl>
            {ofGroup.map((row) => (
              <Figure key={row.name} row={row} onCopy={() => void copyText(row.name, figureAsText(row))} />
            ))}
          </dl>
        </section>
      ))}
      <p className="trial-aside">
        {credit} {calibration === null ? null : <Link href={reportAddress(calibration.id)}>Its report</Link>}
      </p>
    </Panel>
  );
}

interface FigureProps {
  readonly row: FigureRow;
  readonly onCopy: () => void;
}

function Figure({ row, onCopy }: FigureProps) {
  const { name, value, uncertainty, hint, isRefused } = row;
  return (
    <div className={isRefused ? 'trial-figure trial-figure-refused' : 'trial-figure'}>
      <dt>
        <span>{name}</span>
        {hint === null ? null : <span className="trial-figure-hint">{hint}</span>}
      </dt>
      <dd>
        <span>{value}</span>
        {uncertainty === null ? null : <span className="trial-figure-hint">{uncertainty}</span>}
      </dd>
      <dd className="trial-figure-copy">
        {isRefused ? null : (
          <Button look="quiet" aria-label={`Copy ${name}`} onPress={onCopy}>
            <Copy aria-hidden="true" size={16} />
          </Button>
        )}
      </dd>
    </div>
  );
}
