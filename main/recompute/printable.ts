/**
 * Signs that no name needs and that a terminal obeys: they move the cursor, clear lines, hide what follows or turn its direction.
 * A package could write its own verdict with them.
 */
const OBEYED = /[\p{Cc}\p{Cf}\u2028\u2029]/gu;
const OBEYED_IN_JSON = /(?!\n)[\p{Cc}\p{Cf}\u2028\u2029]/gu;

/** Text from a package as it may be printed, on one line: such signs by their number, as `\u{1b}`. */
export function printable(text: string): string {
  return text.replaceAll(OBEYED, (sign) => `\\u{${(sign.codePointAt(0) ?? 0).toString(16)}}`);
}

/** The same for JSON, whose own line feeds stay. Whatever parses it gets the text as it was. */
export function printableJson(json: string): string {
  return json.replaceAll(OBEYED_IN_JSON, (sign) =>
    Array.from(
      { length: sign.length },
      (_, index) => `\\u${sign.charCodeAt(index).toString(16).padStart(4, '0')}`,
    ).join(''),
  );
}
