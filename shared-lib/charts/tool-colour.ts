/** How many colours there are for curves; tokens.css holds them as --curve-1 and on. */
export const CURVE_COLOR_COUNT = 5;

/**
 * A tool keeps its colour in every picture, so the colour follows from the name alone. Two tools may share one; the dash
 * and the label at the curve's end still tell them apart. Hash: FNV-1a of 32 bits, folded to 24 by exclusive or.
 */
export function curveColorIndex(toolName: string): number {
  let hash = 0x811c9dc5;
  for (const character of toolName.trim().toLowerCase()) {
    hash = Math.imul(hash ^ (character.codePointAt(0) ?? 0), 0x01000193) >>> 0;
  }
  return ((hash >>> 24) ^ (hash & 0xffffff)) % CURVE_COLOR_COUNT;
}
