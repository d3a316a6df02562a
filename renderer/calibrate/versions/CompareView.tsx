import { fromOwnUnit } from '../../../shared-lib/format-quantity.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinePicture } from '../../ui/picture/LinePicture.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { type ComparedPoint, differenceSummary, pointsBySense } from './compare-sentences.ts';
import './versions.css';

interface CompareViewProps {
  readonly calibrationId: string;
  readonly otherId: string;
}

const SIZE = { width: 560, height: 300 };

/** What the other version would read of the same counts, over the range that both cover. */
export function CompareView({ calibrationId, otherId }: CompareViewProps) {
  const { result, error, isLoading } = useRequest('compareCalibrations', { calibrationId, otherId });
  const torque = useTorqueDisplay();
  if (error !== null) return <FailureNotice error={error} />;
  if (result === null) return <p role="status">{isLoading ? 'Comparing.' : ''}</p>;
  return (
    <div className="compare-view">
      <ul className="compare-sentences" aria-label="What the comparison says">
        {result.sentences.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
      <div className="compare-pictures">
        {pointsBySense(result.points).map(({ sense, points }) => {
          const summary = differenceSummary(sense, points, torque.format);
          return (
            <figure key={sense} className="compare-picture">
              <h3>{sense === 'forward' ? 'Forward' : 'Reverse'}</h3>
              <DifferencePicture
                points={points}
                summary={summary}
                shownPerNm={fromOwnUnit(1, torque.unit)}
                unitLabel={torque.unitLabel}
              />
              <figcaption>{summary}</figcaption>
            </figure>
          );
        })}
      </div>
    </div>
  );
}

interface DifferencePictureProps {
  readonly points: readonly ComparedPoint[];
  readonly summary: string;
  readonly shownPerNm: number;
  readonly unitLabel: string;
}

function DifferencePicture({ points, summary, shownPerNm, unitLabel }: DifferencePictureProps) {
  const x = ({ torqueNm }: ComparedPoint) => Math.abs(torqueNm) * shownPerNm;
  const joint = points.flatMap((point) =>
    point.jointUncertaintyPercent === null ? [] : [{ x: x(point), joint: point.jointUncertaintyPercent }],
  );
  const edge = (sign: 1 | -1) => joint.map((point) => ({ x: point.x, y: sign * point.joint }));
  return (
    <LinePicture
      summary={summary}
      size={SIZE}
      xTitle={`torque, ${unitLabel}`}
      yTitle="other minus this, %"
      bands={
        joint.length === 0
          ? []
          : [{ points: joint.map((point) => ({ x: point.x, lower: -point.joint, upper: point.joint })) }]
      }
      lines={[
        {
          label: 'difference',
          look: 'solid',
          color: 5,
          points: points.map((point) => ({ x: x(point), y: point.differencePercent })),
        },
        // How large a difference is shows only beside none at all.
        {
          label: 'none',
          look: 'dotted',
          color: null,
          points: points.map((point) => ({ x: x(point), y: 0 })),
        },
        ...(joint.length === 0
          ? []
          : [
              { label: 'joint U', look: 'limit' as const, color: null, points: edge(1) },
              { label: '', look: 'limit' as const, color: null, points: edge(-1) },
            ]),
      ]}
    />
  );
}
