import { foldForSearch } from '../storage/search-folding.ts';
import type { Row } from './read-cells.ts';

/** Columns that follow from others and do not travel, so that a row can be stored. */
export function withDerived(table: string, row: Row, at: string): Row {
  switch (table) {
    case 'bench':
      return { ...row, is_own: 0 };
    case 'tool':
    case 'pack':
      return { ...row, name_folded: foldForSearch(String(row['name'])) };
    case 'handling_rating':
      return { ...row, rater_folded: foldForSearch(String(row['rater'])) };
    case 'trial':
      return { ...row, tool_name_folded: foldForSearch(String(row['tool_name'])) };
    case 'amplifier':
      return { ...row, settings_json: AMPLIFIER_ELSEWHERE, last_connected_at: at, is_forgotten: 1 };
    default:
      return row;
  }
}

/** An amplifier of another bench has no port here: it is never on the list, and no port is ever taken for it. */
const AMPLIFIER_ELSEWHERE = JSON.stringify({
  path: 'on another bench',
  profileId: 'counts',
  baudRate: 115_200,
  nominalRateHz: 80,
  converterBits: 24,
});
