import { createHmac, randomBytes, timingSafeEqual } from 'node:crypto';

/**
 * A ticket lets one window in, once. It stands where others can read it: among the options of the browser that the program starts,
 * which on many systems every user of the machine sees.
 *
 * Its form: the second since 1970 until which it is good, a text by chance, and the keyed hash (HMAC, RFC 2104, with SHA-256) of
 * both under the token, with dots between them. So whoever knows the token can write one, as a second start of the program does.
 */
const GOOD_FOR_S = 120;

function makeTicket(token: string, nowMs: number): string {
  const claim = `${String(Math.floor(nowMs / 1000) + GOOD_FOR_S)}.${randomBytes(16).toString('base64url')}`;
  return `${claim}.${sealOf(claim, token)}`;
}

/** The address of the page with a ticket in the place of the token. */
export function withTicket(url: string, nowMs: number): string {
  const address = new URL(url);
  const token = new URLSearchParams(address.hash.slice(1)).get('token');
  if (token === null) throw new Error('The address of the page carries no token');
  address.hash = `ticket=${makeTicket(token, nowMs)}`;
  return address.href;
}

/** True once for each ticket written under this token, until it is too old. */
export function createTicketCheck(token: string, nowMs: () => number): (ticket: string) => boolean {
  /** Claims of those that were used, with the second until which they would be good. */
  const used = new Map<string, number>();
  return (ticket) => {
    const [until = '', chance = '', seal = '', ...others] = ticket.split('.');
    const claim = `${until}.${chance}`;
    if (others.length > 0 || !isEqual(seal, sealOf(claim, token))) return false;
    const nowS = nowMs() / 1000;
    for (const [old, untilS] of used) if (untilS < nowS) used.delete(old);
    if (Number(until) < nowS || used.has(claim)) return false;
    used.set(claim, Number(until));
    return true;
  };
}

function sealOf(claim: string, token: string): string {
  return createHmac('sha256', token).update(claim).digest('base64url');
}

function isEqual(shown: string, right: string): boolean {
  const [one, other] = [Buffer.from(shown), Buffer.from(right)];
  return one.length === other.length && timingSafeEqual(one, other);
}
