/** A label beside what it names, along one line: up and down beside a plot, or across above it. */
export interface WantedLabel {
  /** Where its middle would stand best. */
  readonly atPx: number;
  /** Its extent along the line. */
  readonly lengthPx: number;
}

/**
 * Places labels so that none overlaps another and none leaves [`fromPx`, `toPx`], in the order in which they want to stand, and with the
 * least sum of squared shifts that allows (pooling of adjacent violators).
 *
 * Returns the middle of each, in the order given; null: they do not fit. Labels that want the same place keep their order.
 */
export function placeLabels(labels: readonly WantedLabel[], fromPx: number, toPx: number): number[] | null {
  const total = labels.reduce((sum, { lengthPx }) => sum + lengthPx, 0);
  if (!(total <= toPx - fromPx)) return null;
  const middle = (fromPx + toPx) / 2;
  const order = labels
    .map(({ atPx, lengthPx }, index) => ({ atPx: Number.isFinite(atPx) ? atPx : middle, lengthPx, index }))
    .toSorted((one, other) => one.atPx - other.atPx || one.index - other.index);

  const blocks: Block[] = [];
  for (const label of order) {
    let block: Block = {
      wantedStartsPx: label.atPx - label.lengthPx / 2,
      count: 1,
      lengthPx: label.lengthPx,
      labels: [label],
    };
    let before = blocks.at(-1);
    while (
      before !== undefined &&
      startOf(before, fromPx, toPx) + before.lengthPx > startOf(block, fromPx, toPx)
    ) {
      blocks.pop();
      block = joined(before, block);
      before = blocks.at(-1);
    }
    blocks.push(block);
  }

  const places = labels.map(() => Number.NaN);
  for (const block of blocks) {
    let at = startOf(block, fromPx, toPx);
    for (const { index, lengthPx } of block.labels) {
      places[index] = at + lengthPx / 2;
      at += lengthPx;
    }
  }
  return places;
}

/** Labels that touch each other and move together. */
interface Block {
  /** Sum over its labels of where the block would begin if each stood best. */
  readonly wantedStartsPx: number;
  readonly count: number;
  readonly lengthPx: number;
  readonly labels: readonly { readonly index: number; readonly lengthPx: number }[];
}

function startOf({ wantedStartsPx, count, lengthPx }: Block, fromPx: number, toPx: number): number {
  return Math.max(fromPx, Math.min(wantedStartsPx / count, toPx - lengthPx));
}

function joined(before: Block, after: Block): Block {
  return {
    wantedStartsPx: before.wantedStartsPx + after.wantedStartsPx - after.count * before.lengthPx,
    count: before.count + after.count,
    lengthPx: before.lengthPx + after.lengthPx,
    labels: [...before.labels, ...after.labels],
  };
}
