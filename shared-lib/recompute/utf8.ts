/** A text as UTF-8. A half of a pair that stands alone becomes the replacement character, as everywhere. */
export function utf8Bytes(text: string): Uint8Array {
  const bytes = new Uint8Array(3 * text.length);
  let at = 0;
  for (const character of text) {
    const read = character.codePointAt(0) ?? 0;
    const code = read >= 0xd800 && read <= 0xdfff ? 0xfffd : read;
    if (code < 0x80) bytes[at++] = code;
    else if (code < 0x800) {
      bytes[at++] = 0xc0 | (code >> 6);
      bytes[at++] = 0x80 | (code & 63);
    } else if (code < 0x10000) {
      bytes[at++] = 0xe0 | (code >> 12);
      bytes[at++] = 0x80 | ((code >> 6) & 63);
      bytes[at++] = 0x80 | (code & 63);
    } else {
      bytes[at++] = 0xf0 | (code >> 18);
      bytes[at++] = 0x80 | ((code >> 12) & 63);
      bytes[at++] = 0x80 | ((code >> 6) & 63);
      bytes[at++] = 0x80 | (code & 63);
    }
  }
  return bytes.subarray(0, at);
}
