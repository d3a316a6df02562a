/**
 * One policy for the page in either window: its own files only, no inline script or style, no other address.
 *
 * Styles that React sets on an element go through the DOM, which this does not forbid. A socket to the page's own
 * address is named in full, since not every browser counts it as 'self'.
 */
export function contentSecurityPolicy(socketOrigin?: string): string {
  return [
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "font-src 'self'",
    "img-src 'self' data: blob:",
    `connect-src 'self'${socketOrigin === undefined ? '' : ` ${socketOrigin}`}`,
    "frame-ancestors 'none'",
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');
}
