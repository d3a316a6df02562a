/**
 * Weights that foretell a sample from those just before it: least squares over the samples of a frame (the covariance method).
 * For each of the orders the weights, nearest sample first; null where they cannot be told apart.
 *
 * `counts` has at least the highest order of samples before `from`, or the frame begins with as many that only serve as such.
 */
export function fitPredictors(
  counts: Int32Array,
  from: number,
  end: number,
  orders: readonly number[],
): (Float64Array | null)[] {
  const highest = Math.max(...orders);
  const first = Math.max(from, highest);
  if (end - first < 2 * highest) return orders.map(() => null);
  const moments = momentsOf(counts, first, end, highest);
  const factor = choleskyFactor(moments, highest);
  return orders.map((order) => (factor.rank < order ? null : solve(factor.lower, moments, order)));
}

/** Sums of products of samples i and j steps back, i and j from 0 to `order`; row i, column j <= i. */
type Moments = readonly Float64Array[];

/** The first column by its sums; the others follow along the diagonals, where only the ends of the sums differ. */
function momentsOf(counts: Int32Array, first: number, end: number, order: number): Moments {
  const at = (index: number): number => counts[index] ?? 0;
  const moments = Array.from({ length: order + 1 }, (_, i) => new Float64Array(i + 1));
  for (let i = 0; i <= order; i += 1) {
    let sum = 0;
    for (let t = first; t < end; t += 1) sum += (counts[t] ?? 0) * (counts[t - i] ?? 0);
    const row = moments[i];
    if (row) row[0] = sum;
  }
  for (let i = 1; i <= order; i += 1) {
    for (let j = 1; j <= i; j += 1) {
      const before = moments[i - 1]?.[j - 1] ?? 0;
      const row = moments[i];
      if (row) row[j] = before + at(first - i) * at(first - j) - at(end - i) * at(end - j);
    }
  }
  return moments;
}

/** Ours: so small a pivot beside its sum of squares is rounding; what hangs on it foretells nothing. */
const LEAST_PIVOT_SHARE = 1e-13;

/** Of the moments of samples 1 to `order` steps back, as far as they are independent. */
function choleskyFactor(
  moments: Moments,
  order: number,
): { readonly lower: readonly Float64Array[]; readonly rank: number } {
  const lower: Float64Array[] = [];
  for (let i = 0; i < order; i += 1) {
    const row = new Float64Array(i + 1);
    for (let j = 0; j <= i; j += 1) {
      const other = j === i ? row : (lower[j] ?? row);
      let rest = moments[i + 1]?.[j + 1] ?? 0;
      for (let k = 0; k < j; k += 1) rest -= (row[k] ?? 0) * (other[k] ?? 0);
      row[j] = j === i ? rest : rest / (other[j] ?? 1);
    }
    const pivot = row[i] ?? 0;
    if (pivot <= LEAST_PIVOT_SHARE * (moments[i + 1]?.[i + 1] ?? 0)) return { lower, rank: i };
    row[i] = Math.sqrt(pivot);
    lower.push(row);
  }
  return { lower, rank: order };
}

function solve(lower: readonly Float64Array[], moments: Moments, order: number): Float64Array {
  const at = (i: number, j: number): number => lower[i]?.[j] ?? 0;
  const half = new Float64Array(order);
  for (let i = 0; i < order; i += 1) {
    let rest = moments[i + 1]?.[0] ?? 0;
    for (let k = 0; k < i; k += 1) rest -= at(i, k) * (half[k] ?? 0);
    half[i] = rest / at(i, i);
  }
  const weights = new Float64Array(order);
  for (let i = order - 1; i >= 0; i -= 1) {
    let rest = half[i] ?? 0;
    for (let k = i + 1; k < order; k += 1) rest -= at(k, i) * (weights[k] ?? 0);
    weights[i] = rest / at(i, i);
  }
  return weights;
}
