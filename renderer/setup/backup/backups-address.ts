/** Below Setup: a page of its own, since a new computer comes here first. */
export const BACKUPS_ADDRESS = '/setup/backups';
