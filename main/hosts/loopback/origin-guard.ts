import { createHash, timingSafeEqual } from 'node:crypto';
import { wireProtocol } from '../../../shared-lib/wire-codec.ts';

/**
 * Who may talk to the loopback host.
 *
 * Any web page that the user has open can send requests to 127.0.0.1. Host keeps out names that were made to point
 * here (DNS rebinding), Origin keeps out sockets opened by other pages, the token keeps out other users and programs.
 */
export const loopbackAddress = '127.0.0.1';

export function originOf(port: number): string {
  return `http://${loopbackAddress}:${String(port)}`;
}

export function isOwnHost(hostHeader: string | undefined, port: number): boolean {
  return hostHeader === `${loopbackAddress}:${String(port)}`;
}

/** A missing Origin is refused too: every browser sends one when it opens a socket. */
export function isOwnOrigin(originHeader: string | undefined, port: number): boolean {
  return originHeader === originOf(port);
}

/** The list must be exactly the protocol and the token; a page has no other header in which it could send one. */
export function hasToken(protocolHeader: string | undefined, token: string): boolean {
  const [protocol, credential, ...others] = (protocolHeader ?? '').split(',').map((entry) => entry.trim());
  if (protocol !== wireProtocol || others.length > 0) return false;
  // Digests have one length, so that the comparison takes the same time whatever was sent.
  return timingSafeEqual(digest(credential ?? ''), digest(`token.${token}`));
}

function digest(text: string): Buffer {
  return createHash('sha256').update(text).digest();
}
