/** What tells setups apart, and what they all share. */
export interface ShortLabels {
  /** For one of the labels given. */
  readonly of: (label: string) => string;
  /** "Pack 5 Ah, 24 mm impact socket"; empty: nothing is left out. */
  readonly common: string;
}

/**
 * Labels such as "Hollin H5, Pack 5 Ah, 24 mm impact socket" without the parts that all of them have; the first part, the tool, always
 * stays. Left as they are where two would read alike.
 */
export function shortLabels(labels: readonly string[]): ShortLabels {
  const different = [...new Set(labels)];
  const [first = [], ...others] = different.map((label) => label.split(', ').slice(1));
  const common = first.filter((part) => others.every((parts) => parts.includes(part)));
  const of = (label: string): string => {
    const [tool = '', ...parts] = label.split(', ');
    return [tool, ...parts.filter((part) => !common.includes(part))].join(', ');
  };
  const areApart = new Set(different.map(of)).size === different.length;
  return areApart && common.length > 0
    ? { of, common: common.join(', ') }
    : { of: (label) => label, common: '' };
}

/** For the notes below a picture, after what they say of the number of runs. */
export function withCommon(note: string, { common }: ShortLabels): string {
  return common === '' ? note : `${note} All with ${common}.`;
}
