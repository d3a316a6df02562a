/** Where the sessions are found. */
export const sessionsAddress = '/logbook/sessions';

export function sessionAddress(sessionId: string): string {
  return `${sessionsAddress}/${encodeURIComponent(sessionId)}`;
}
