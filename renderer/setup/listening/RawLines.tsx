import { visibleLine } from '../amplifier-facts.ts';

const SHOWN_LINES = 14;

/**
 * Lines as they come, the newest at the bottom, always the same height. Not spoken: they come five times a second, and
 * whoever wants them read aloud finds the list by its name.
 */
export function RawLines({ lines }: { readonly lines: readonly string[] }) {
  const shown = lines.slice(-SHOWN_LINES);
  return (
    <div className="raw-lines" role="log" aria-label="Raw lines, the newest last" aria-live="off">
      {Array.from({ length: SHOWN_LINES }, (_, row) => {
        const line = shown[row - (SHOWN_LINES - shown.length)];
        // Rows stand still and their text changes: nothing is added or removed while lines run through.
        return (
          <code key={row} className="raw-line">
            {line === undefined ? '\u00a0' : visibleLine(line)}
          </code>
        );
      })}
    </div>
  );
}
