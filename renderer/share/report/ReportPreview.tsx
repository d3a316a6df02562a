import { useId, useMemo } from 'react';
import { assertNever } from '../../../shared-lib/assert-never.ts';
import { drawChart } from '../../../shared-lib/charts/draw-chart.ts';
import type { Report, ReportBlock } from '../../../shared-lib/report/report-model.ts';
import { PictureCanvas } from '../../picture/PictureCanvas.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { StateShape } from '../../ui/StateShape.tsx';

/** The report from the same model that HTML and PDF are written from. */
export function ReportPreview({ report }: { readonly report: Report }) {
  const { title, subtitle, sections, benchName, madeAt, softwareVersion, isSimulated } = report;
  const titleId = useId();
  return (
    <article className="share-report" aria-labelledby={titleId}>
      <header>
        <h2 id={titleId}>{title}</h2>
        <p className="share-report-subtitle">{subtitle}</p>
        <p className="share-soft">
          {benchName}, {formatDateTime(madeAt)}, Proofarm {softwareVersion}
          {isSimulated ? ', simulated' : ''}
        </p>
      </header>
      {sections.map(({ heading, blocks }, index) => (
        <section key={index} aria-label={heading}>
          <h3>{heading}</h3>
          {blocks.map((block, place) => (
            <Block key={place} block={block} report={report} />
          ))}
        </section>
      ))}
    </article>
  );
}

interface BlockProps {
  readonly block: ReportBlock;
  readonly report: Report;
}

function Block({ block, report }: BlockProps) {
  switch (block.kind) {
    case 'text':
      return <p>{block.text}</p>;
    case 'list':
      return (
        <ul className="share-report-list">
          {block.items.map((item) => (
            <li key={item}>{item}</li>
          ))}
        </ul>
      );
    case 'caution':
      return (
        <p className="share-report-caution">
          <StateShape shape="caution" />
          <span>
            <strong>Caution</strong> {block.text}
          </span>
        </p>
      );
    case 'facts':
      return <Facts rows={block.rows} />;
    case 'table':
      return <ReportTable block={block} />;
    case 'chart':
      return <ReportChart block={block} report={report} />;
    case 'trail':
      return (
        <ol className="share-report-trail">
          {block.events.map(({ at, text }) => (
            <li key={`${at} ${text}`}>
              <span className="share-soft">{formatDateTime(at)}</span> {text}
            </li>
          ))}
        </ol>
      );
    default:
      return assertNever(block, 'A part of a report that nobody shows');
  }
}

function Facts({ rows }: Pick<Extract<ReportBlock, { kind: 'facts' }>, 'rows'>) {
  return (
    <dl className="share-report-facts">
      {rows.map(({ label, value }) => (
        <div key={label}>
          <dt>{label}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}

function ReportTable({
  block: { caption, columns, rows },
}: {
  readonly block: Extract<ReportBlock, { kind: 'table' }>;
}) {
  const lookOf = (column: number) =>
    columns[column]?.align === 'end' ? { className: 'figure-table-number' } : {};
  return (
    // Wide ones scroll in their frame, which the keyboard has to reach.
    <div className="figure-table-frame" tabIndex={0} role="region" aria-label={caption}>
      <table className="figure-table">
        <caption>{caption}</caption>
        <thead>
          <tr>
            {columns.map(({ label }, column) => (
              <th key={column} scope="col" {...lookOf(column)}>
                {label}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((cells, row) => (
            <tr key={row}>
              {cells.map((cell, column) => (
                <td key={column} {...lookOf(column)}>
                  {cell}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function ReportChart({
  block: { chart, caption },
  report: { torqueUnit },
}: {
  readonly block: Extract<ReportBlock, { kind: 'chart' }>;
  readonly report: Report;
}) {
  // On paper, which is light whatever the theme of the program.
  const picture = useMemo(
    () => drawChart(chart, { format: 'wide', theme: 'light', torqueUnit }),
    [chart, torqueUnit],
  );
  return (
    <figure className="share-report-chart">
      <PictureCanvas picture={picture} />
      <figcaption>{caption}</figcaption>
    </figure>
  );
}
