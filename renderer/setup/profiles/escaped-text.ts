/**
 * Texts for a port, typed and shown with their control characters in sight: \r, \n, \t, \\ and \xNN for any other byte.
 */
export type EscapedReading = { readonly text: string } | { readonly problem: string };

const MAX_LENGTH = 200;
const named: Readonly<Record<string, string>> = { r: '\r', n: '\n', t: '\t', '\\': '\\' };

export function readEscapedText(typed: string): EscapedReading {
  let text = '';
  for (let index = 0; index < typed.length; index += 1) {
    const character = typed.charAt(index);
    if (character > '\xff') {
      return {
        problem: `"${character}" is more than one byte; type the bytes as \\x and two hexadecimal digits.`,
      };
    }
    if (character !== '\\') {
      text += character;
      continue;
    }
    const next = typed.charAt(index + 1);
    const simple = named[next];
    if (simple !== undefined) {
      text += simple;
      index += 1;
      continue;
    }
    const code = next === 'x' ? /^[\dA-Fa-f]{2}/.exec(typed.slice(index + 2))?.[0] : undefined;
    if (code === undefined) {
      return {
        problem: `"${typed.slice(index, index + 2)}" is not known: after a backslash comes r, n, t, another backslash, or x with two hexadecimal digits.`,
      };
    }
    text += String.fromCharCode(parseInt(code, 16));
    index += 3;
  }
  if (text.length > MAX_LENGTH) return { problem: `At most ${MAX_LENGTH} characters can be sent.` };
  return { text };
}

export function writeEscapedText(text: string): string {
  return text.replace(/[\\\p{Cc}]/gu, (character) => {
    const letter = Object.keys(named).find((key) => named[key] === character);
    if (letter !== undefined) return `\\${letter}`;
    return `\\x${character.charCodeAt(0).toString(16).padStart(2, '0')}`;
  });
}
