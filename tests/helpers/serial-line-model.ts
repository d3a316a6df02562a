/**
 * What a receiver reads when it samples a line at another rate than it is written: one start bit (0), eight data bits with
 * the least first, one stop bit (1), the line at 1 between. From the published description of asynchronous serial lines.
 * A byte whose stop bit is 0 is a framing error; drivers keep or drop it.
 */
export function readAtRate(
  bytes: Uint8Array,
  writtenBaud: number,
  readBaud: number,
  options: { keepsFramingErrors: boolean; idleBitsBetweenBytes?: number },
): Uint8Array {
  const levels: number[] = [];
  for (const byte of bytes) {
    levels.push(0);
    for (let bit = 0; bit < 8; bit += 1) levels.push((byte >> bit) & 1);
    levels.push(1);
    for (let idle = 0; idle < (options.idleBitsBetweenBytes ?? 0); idle += 1) levels.push(1);
  }
  const levelAt = (bitTime: number): number => levels[Math.floor(bitTime)] ?? 1;
  const readBit = writtenBaud / readBaud;
  const read: number[] = [];
  let time = 0;
  while (time < levels.length) {
    if (levelAt(time) === 1) {
      time = Math.floor(time) + 1;
      continue;
    }
    // Low: a start bit begins, which must still be low in its middle, else it was a spike.
    if (levelAt(time + readBit / 2) === 1) {
      time += readBit / 2;
      continue;
    }
    let byte = 0;
    for (let bit = 0; bit < 8; bit += 1) byte |= levelAt(time + readBit * (1.5 + bit)) << bit;
    const isFramed = levelAt(time + readBit * 9.5) === 1;
    if (isFramed || options.keepsFramingErrors) read.push(byte);
    time += readBit * (isFramed ? 9.5 : 10);
  }
  return Uint8Array.from(read);
}
