/**
 * Whether the checksum of a line refutes it, written apart from the program's own decoder: by a regular expression and
 * a fold instead of a scan.
 *
 * Rule: exclusive or of the characters between `$` and `*`, as two hexadecimal digits (NMEA 0183; see
 * tests/fixtures for published sentences it was checked with).
 */
export function isRefutedByChecksum(line: string): boolean {
  const [, body, stated] = /^[\0-\x20]*\$([^]*)\*([0-9A-Fa-f]{2})[\0-\x20]*$/.exec(line) ?? [];
  if (body === undefined || stated === undefined) return true;
  return (
    Array.from(body).reduce((sum, character) => sum ^ character.charCodeAt(0), 0) !==
    Number.parseInt(stated, 16)
  );
}
