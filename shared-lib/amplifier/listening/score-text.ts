/** How much of what was heard is text, and what speaks against it. Shares are of all bytes; NaN where there are none. */
export interface TextScore {
  readonly byteCount: number;
  /** Printable ASCII, tab, and the two characters that end lines. */
  readonly readableShare: number;
  /** A text of numbers has no byte beyond 127; a wrong baud rate makes many. */
  readonly highBitShare: number;
  /** Zeros come where the line is read faster than it is written. */
  readonly zeroShare: number;
  /** Ends of lines that hold something, whatever their form. */
  readonly lineEnds: number;
  /** Letters and digits: what a line of numbers is made of, in decimal or hexadecimal. */
  readonly digitShare: number;
}

export type TextVerdict = 'text' | 'textWithoutLineEnds' | 'notText' | 'nothing' | 'tooLittle';

const TAB = 0x09;
const LINE_FEED = 0x0a;
const CARRIAGE_RETURN = 0x0d;
const SPACE = 0x20;
const TILDE = 0x7e;

const LEAST_BYTES = 20;
const LEAST_LINE_ENDS = 2;
const TEXT_SHARE = 0.97;
/** Set above what a line of numbers reads like at a rate half or twice the right one; see the tests. */
const LEAST_DIGIT_SHARE = 0.4;

export function scoreText(bytes: Uint8Array): TextScore {
  let readable = 0;
  let highBits = 0;
  let zeros = 0;
  let digits = 0;
  let lineEnds = 0;
  let isLineEmpty = true;
  for (const byte of bytes) {
    if (byte === LINE_FEED || byte === CARRIAGE_RETURN) {
      readable += 1;
      if (!isLineEmpty) lineEnds += 1;
      isLineEmpty = true;
      continue;
    }
    isLineEmpty = false;
    if (byte === TAB || (byte >= SPACE && byte <= TILDE)) readable += 1;
    if (byte > 0x7f) highBits += 1;
    if (byte === 0) zeros += 1;
    if (isAlphanumeric(byte)) digits += 1;
  }
  const { length } = bytes;
  return {
    byteCount: length,
    readableShare: readable / length,
    highBitShare: highBits / length,
    zeroShare: zeros / length,
    lineEnds,
    digitShare: digits / length,
  };
}

function isAlphanumeric(byte: number): boolean {
  const letter = byte | 0x20;
  return (byte >= 0x30 && byte <= 0x39) || (letter >= 0x61 && letter <= 0x7a);
}

/**
 * Whether a score is that of lines of text. `tooLittle`: nothing speaks against it, but there is not enough of it yet.
 *
 * The limits are ours; the tests hold them against bytes of a modelled line that is read at every wrong usual rate.
 */
export function judgeText(score: TextScore): TextVerdict {
  if (score.byteCount === 0) return 'nothing';
  if (score.byteCount < LEAST_BYTES)
    return score.highBitShare + score.zeroShare > 0.2 ? 'notText' : 'tooLittle';
  if (score.readableShare < TEXT_SHARE || score.digitShare < LEAST_DIGIT_SHARE) return 'notText';
  return score.lineEnds >= LEAST_LINE_ENDS ? 'text' : 'textWithoutLineEnds';
}

/** What was heard, as a sentence for the list of tried baud rates. */
export function describeScore(score: TextScore): string {
  switch (judgeText(score)) {
    case 'nothing':
      return 'Nothing was heard.';
    case 'tooLittle':
      return `Only ${countOf(score.byteCount, 'byte')} came, which may be text.`;
    case 'text':
      return `Text in lines: ${countOf(score.lineEnds, 'line end')} in ${countOf(score.byteCount, 'byte')}.`;
    case 'textWithoutLineEnds':
      return `Readable characters, but ${score.lineEnds === 0 ? 'no line end' : 'only one line end'} in ${countOf(score.byteCount, 'byte')}.`;
    case 'notText':
      return `Not text${signsOfGarbage(score)}.`;
  }
}

function signsOfGarbage(score: TextScore): string {
  const signs: string[] = [];
  if (score.highBitShare > 0.05) signs.push(`${percent(score.highBitShare)} beyond ASCII`);
  if (score.zeroShare > 0.05) signs.push(`${percent(score.zeroShare)} zeros`);
  if (score.lineEnds < LEAST_LINE_ENDS) signs.push('hardly a line end');
  return signs.length === 0 ? '' : `: ${signs.join(', ')}`;
}

/** Never rounded up to 100 %, which would deny what could not be read. */
export function percent(share: number): string {
  return `${share < 1 ? Math.min(99, Math.floor(share * 100)) : 100} %`;
}

function countOf(count: number, thing: string): string {
  return `${count} ${thing}${count === 1 ? '' : 's'}`;
}
