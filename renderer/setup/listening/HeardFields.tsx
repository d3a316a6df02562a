import type { HeardField } from '../../../shared-lib/amplifier/listening-model.ts';
import { visibleLine } from '../amplifier-facts.ts';
import { describeMovement, guessWords } from './listening-sentences.ts';

/** The columns of a line: what stands there now, whether it moves, and what it is taken for. */
export function HeardFields({ fields }: { readonly fields: readonly HeardField[] }) {
  if (fields.length === 0) {
    return <p className="setup-aside">Fields show as soon as some lines of the same form have come.</p>;
  }
  return (
    <div className="heard-fields-scroll">
      <table className="heard-fields">
        <caption className="visually-hidden">Fields of a line</caption>
        <thead>
          <tr>
            <th scope="col">Field</th>
            <th scope="col">Newest</th>
            <th scope="col">Movement</th>
            <th scope="col">Taken for</th>
            <th scope="col">Because</th>
          </tr>
        </thead>
        <tbody>
          {fields.map((field) => (
            <FieldRow key={field.field} field={field} />
          ))}
        </tbody>
      </table>
    </div>
  );
}

function FieldRow({ field }: { readonly field: HeardField }) {
  const { word, nowShare, beforeShare } = describeMovement(field);
  return (
    <tr className={field.guess === 'counts' ? 'heard-counts' : undefined}>
      <th scope="row">{field.field + 1}</th>
      <td className="heard-newest">
        <code>{visibleLine(field.newest)}</code>
      </td>
      <td>
        <span className="heard-movement">
          {/* The word says it; the bar shows how much. */}
          <span className="heard-bar" aria-hidden="true">
            <span className="heard-bar-now" style={{ width: `${nowShare * 100}%` }} />
            {beforeShare === null ? null : (
              <span className="heard-bar-before" style={{ insetInlineStart: `${beforeShare * 100}%` }} />
            )}
          </span>
          <span className={word === 'moves' ? 'heard-moves' : undefined}>{word}</span>
        </span>
      </td>
      <td className="heard-guess">{guessWords[field.guess]}</td>
      <td className="heard-reason">{field.reason}</td>
    </tr>
  );
}
