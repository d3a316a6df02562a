import { ArrowDown, ArrowUp } from 'lucide-react';
import { Link } from 'wouter';
import type { CatalogueTool } from '../../../shared-lib/catalogue/catalogue-model.ts';
import {
  driveSizeWords,
  supplyWords,
  toolClassWords,
} from '../../../shared-lib/catalogue/catalogue-words.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import { levelWords } from '../../../shared-lib/level-words.ts';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import {
  claimWords,
  handlingWords,
  missingWords,
  NOT_KNOWN,
  priceWords,
  whyUnlisted,
} from '../tool-sentences.ts';
import { toolAddress } from '../tools-addresses.ts';
import type { SortKey, ToolFilter } from './tool-filter.ts';

interface ToolTableProps {
  readonly tools: readonly CatalogueTool[];
  readonly filter: ToolFilter;
  readonly nameOf: (toolId: string) => string;
  readonly onSort: (key: SortKey) => void;
}

interface Column {
  readonly title: string;
  readonly sort: SortKey | null;
  readonly isNumber?: boolean;
}

const columns: readonly Column[] = [
  { title: 'Tool', sort: 'name' },
  { title: 'Maker', sort: null },
  { title: 'Model', sort: null },
  { title: 'Class', sort: 'class' },
  { title: 'Drive', sort: null },
  { title: 'Supply', sort: null },
  { title: 'Claimed torque', sort: 'claim' },
  { title: 'Price', sort: 'price' },
  { title: 'Handling', sort: 'handling' },
  { title: 'Trials', sort: 'trials', isNumber: true },
  { title: 'Missing', sort: 'missing' },
];

export function ToolTable({ tools, filter, nameOf, onSort }: ToolTableProps) {
  return (
    <div className="tool-table-frame" tabIndex={0} role="region" aria-label="List of tools">
      <table className="figure-table tool-table" aria-label="Tools">
        <thead>
          <tr>
            {columns.map((column) => (
              <HeadCell key={column.title} column={column} filter={filter} onSort={onSort} />
            ))}
          </tr>
        </thead>
        <tbody>
          {tools.map((tool) => (
            <ToolRow key={tool.tool.id} tool={tool} mark={whyUnlisted(tool, nameOf)} />
          ))}
        </tbody>
      </table>
    </div>
  );
}

interface HeadCellProps {
  readonly column: Column;
  readonly filter: ToolFilter;
  readonly onSort: (key: SortKey) => void;
}

function HeadCell({ column: { title, sort, isNumber = false }, filter, onSort }: HeadCellProps) {
  const isSorted = sort !== null && filter.sort === sort;
  const direction = filter.isDescending ? 'descending' : 'ascending';
  const Arrow = filter.isDescending ? ArrowDown : ArrowUp;
  return (
    <th
      scope="col"
      {...(isNumber ? { className: 'figure-table-number' } : {})}
      {...(sort === null ? {} : { 'aria-sort': isSorted ? direction : 'none' })}
    >
      {sort === null ? (
        title
      ) : (
        <button
          type="button"
          className="tool-table-sort"
          title={`Sort by ${title.toLowerCase()}`}
          onClick={() => onSort(sort)}
        >
          <span>{title}</span>
          {isSorted ? <Arrow aria-hidden="true" size={16} /> : null}
        </button>
      )}
    </th>
  );
}

function ToolRow({ tool, mark }: { readonly tool: CatalogueTool; readonly mark: string | null }) {
  const torque = useTorqueDisplay();
  const { details } = tool;
  const claims = claimWords(details.claims, (torqueNm) => levelWords(torqueNm, torque.unit));
  return (
    <tr {...(mark === null ? {} : { className: 'tool-row-unlisted' })}>
      <th scope="row">
        <Link href={toolAddress(tool.tool.id)} className="tool-link">
          {tool.tool.name}
        </Link>
        {mark === null ? null : <span className="tool-mark">{mark}</span>}
      </th>
      <td>{orDash(details.maker)}</td>
      <td>{orDash(details.model)}</td>
      <td>{details.toolClass === null ? NOT_KNOWN : toolClassWords[details.toolClass]}</td>
      <td>{details.driveSize === null ? NOT_KNOWN : driveSizeWords[details.driveSize]}</td>
      <td>{supplyWords[tool.tool.supply]}</td>
      <td className="tool-figures">
        <Lines lines={claims} />
      </td>
      <td className="tool-figures">
        <Lines lines={priceWords(details.prices)} />
      </td>
      <td className="tool-figures">{handlingWords(tool.ratings) ?? NOT_KNOWN}</td>
      <td className="figure-table-number">{formatNumber(tool.trialCount, 0)}</td>
      <td className="tool-missing">
        {tool.missing.length === 0 ? (mark === null ? 'nothing' : NOT_KNOWN) : missingWords(tool.missing)}
      </td>
    </tr>
  );
}

function Lines({ lines }: { readonly lines: readonly string[] }) {
  if (lines.length === 0) return NOT_KNOWN;
  return lines.map((line) => (
    <span key={line} className="tool-line">
      {line}
    </span>
  ));
}

function orDash(text: string): string {
  return text === '' ? NOT_KNOWN : text;
}
