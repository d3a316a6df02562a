import process from 'node:process';
import BetterSqlite3 from 'better-sqlite3';
import { putInPlace } from '../../../main/backup/put-in-place.ts';

/** A process that is killed right before, or right after, the one rename of a restore; its database has a log by then. */
const [path = '', when] = process.argv.slice(2);
const database = new BetterSqlite3(path);
database.pragma('wal_autocheckpoint = 0');
database.exec("INSERT INTO note VALUES ('old, newest')");
if (when === 'before') process.kill(process.pid, 'SIGKILL');
database.close();
putInPlace(`${path}.restored`, path);
process.kill(process.pid, 'SIGKILL');
