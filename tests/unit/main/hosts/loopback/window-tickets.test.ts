import { describe, expect, it } from 'vitest';
import { createTicketCheck, withTicket } from '../../../../../main/hosts/loopback/window-tickets.ts';

const token = 'Tq3-_x'.repeat(7);
const startMs = Date.UTC(2026, 2, 1);

function ticketOf(ofToken = token, nowMs = startMs): string {
  return new URL(withTicket(`http://127.0.0.1:47120/#token=${ofToken}`, nowMs)).hash.replace('#ticket=', '');
}

describe('a ticket for one window', () => {
  it('stands in the address in the place of the token, of which it shows nothing', () => {
    const address = withTicket(`http://127.0.0.1:47120/#token=${token}`, startMs);
    expect(address).toMatch(/^http:\/\/127\.0\.0\.1:47120\/#ticket=\d+\.[\w-]{22}\.[\w-]{43}$/);
    expect(address).not.toContain(token);
  });

  it('is good once', () => {
    const isGood = createTicketCheck(token, () => startMs);
    const ticket = ticketOf();
    expect(isGood(ticket)).toBe(true);
    expect(isGood(ticket)).toBe(false);
    expect(isGood(ticketOf())).toBe(true);
  });

  it('is good for two minutes, and once used never again', () => {
    let nowMs = startMs;
    const isGood = createTicketCheck(token, () => nowMs);
    const [early, late, used] = [ticketOf(), ticketOf(), ticketOf()];
    expect(isGood(used)).toBe(true);
    nowMs = startMs + 120_000;
    expect(isGood(early)).toBe(true);
    nowMs = startMs + 121_000;
    expect(isGood(late)).toBe(false);
    expect(isGood(used)).toBe(false);
  });

  it('is worth nothing when anything of it was changed, added or left out, or when another token wrote it', () => {
    const isGood = createTicketCheck(token, () => startMs);
    const ticket = ticketOf();
    const [until = '', chance = '', seal = ''] = ticket.split('.');
    const wrong = [
      '',
      '..',
      `${String(Number(until) + 1)}.${chance}.${seal}`,
      `${until}.${chance.toLowerCase()}A.${seal}`,
      `${until}.${chance}.${seal.slice(0, -1)}`,
      `${until}.${chance}.`,
      `${until}.${chance}`,
      `${ticket}.`,
      `${ticket}A`,
      ticketOf('A'.repeat(43)),
    ];
    expect(wrong.filter(isGood)).toEqual([]);
    expect(isGood(ticket)).toBe(true);
  });

  it('is made of an address with a token alone', () => {
    expect(() => withTicket('http://127.0.0.1:47120/', startMs)).toThrow(/no token/);
  });
});
