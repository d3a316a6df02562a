import BetterSqlite3 from 'better-sqlite3';

/** Holds a database file for itself, as a viewer or a sync client might, until it is ended. */
const database = new BetterSqlite3(process.argv[2]);
database.pragma('locking_mode = EXCLUSIVE');
database.exec('BEGIN EXCLUSIVE');
process.stdout.write('held\n');
// The reference keeps the connection from being collected as garbage, which would close it.
setInterval(() => database.inTransaction, 1000);
