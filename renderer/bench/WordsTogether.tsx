import { Fragment } from 'react';

/** A longer part breaks like any text. */
const LONGEST_PART = 20;

/** A sentence of parts with commas, read from three metres: a line ends at a comma and not within "pack 2". */
export function WordsTogether({ text }: { readonly text: string }) {
  const parts = text.split(', ');
  return parts.map((part, index) => {
    const shown = index < parts.length - 1 ? `${part},` : part;
    return (
      // The parts have no identity of their own, and a new sentence is drawn whole.
      <Fragment key={`${index} ${part}`}>
        {index === 0 ? null : ' '}
        {part.length > LONGEST_PART ? shown : <span className="words-together">{shown}</span>}
      </Fragment>
    );
  });
}
