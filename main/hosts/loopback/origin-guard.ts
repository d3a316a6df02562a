import { createHash, timingSafeEqual } from 'node:crypto';
import type { IncomingMessage } from 'node:http';
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

export interface Refusal {
  readonly code: number;
  readonly text: string;
}

type RequestHead = Pick<IncomingMessage, 'url' | 'headers' | 'rawHeaders'>;

/** Why a request is not even looked at, whatever it asks for; null: nothing speaks against it so far. */
export function whyRefused({ url = '', headers, rawHeaders }: RequestHead, port: number): Refusal | null {
  if (!isOwnHost(headers.host, port) || countHosts(rawHeaders) > 1) {
    return { code: 421, text: 'This address is served to itself only.\n' };
  }
  // "GET http://other/ HTTP/1.1" names a host of its own, which nobody compared with Host.
  if (!url.startsWith('/')) return { code: 400, text: 'This is no proxy.\n' };
  // The page is read, and everything else goes over the socket.
  if (announcesBody(headers)) return { code: 413, text: 'No request has a body here.\n' };
  if (headers.upgrade !== undefined && pathOf(url) !== '/socket') {
    return { code: 400, text: 'There is no socket at this address.\n' };
  }
  const isForeignOrigin = headers.origin !== undefined && !isOwnOrigin(headers.origin, port);
  if (pathOf(url) !== '/socket' && isForeignOrigin) return notForOtherPages;
  return isAskedByOtherPage(headers) ? notForOtherPages : null;
}

const notForOtherPages: Refusal = { code: 403, text: 'This is not served to other pages.\n' };

export function pathOf(url: string): string {
  return url.replace(/[?#].*$/s, '');
}

/** Of several, Node keeps the first, and another program on the way might have gone by the last. */
function countHosts(rawHeaders: readonly string[]): number {
  return rawHeaders.filter((name, index) => index % 2 === 0 && name.toLowerCase() === 'host').length;
}

function announcesBody(headers: RequestHead['headers']): boolean {
  return headers['transfer-encoding'] !== undefined || (headers['content-length'] ?? '0') !== '0';
}

/**
 * By what browsers say of their own accord and no page can change (Fetch Metadata Request Headers, W3C). Another page, also one on another
 * port of this machine, may lead here by a link, and neither load anything nor open a socket or a frame.
 */
function isAskedByOtherPage(headers: RequestHead['headers']): boolean {
  const site = headers['sec-fetch-site'] ?? 'none';
  if (site === 'none' || site === 'same-origin') return false;
  return headers['sec-fetch-mode'] !== 'navigate' || headers['sec-fetch-dest'] !== 'document';
}

/**
 * What a socket shows for itself: `token.` or `ticket.` and its text. The list must be exactly the protocol and this; a page has no other
 * header in which it could send one. Empty: nothing, or not in this form.
 */
export function credentialIn(protocolHeader: string | undefined): string {
  const [protocol, credential = '', ...others] = (protocolHeader ?? '')
    .split(',')
    .map((entry) => entry.trim());
  return protocol === wireProtocol && others.length === 0 ? credential : '';
}

export function isToken(credential: string, token: string): boolean {
  // Digests have one length, so that the comparison takes the same time whatever was sent.
  return timingSafeEqual(digest(credential), digest(`token.${token}`));
}

/** Null where it is no ticket by its form. */
export function ticketIn(credential: string): string | null {
  return credential.startsWith('ticket.') ? credential.slice('ticket.'.length) : null;
}

function digest(text: string): Buffer {
  return createHash('sha256').update(text).digest();
}
