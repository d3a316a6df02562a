const PAGE_ROWS = 10;

/** The row that a key leads to, within the list; null: the key moves nothing. */
export function keyTarget(key: string, active: number, total: number): number | null {
  const target = targetOf(key, active, total);
  return target === null ? null : Math.min(Math.max(target, 0), total - 1);
}

function targetOf(key: string, active: number, total: number): number | null {
  switch (key) {
    case 'ArrowDown':
      return active + 1;
    case 'ArrowUp':
      return active - 1;
    case 'PageDown':
      return active + PAGE_ROWS;
    case 'PageUp':
      return active - PAGE_ROWS;
    case 'Home':
      return 0;
    case 'End':
      return total - 1;
    default:
      return null;
  }
}
