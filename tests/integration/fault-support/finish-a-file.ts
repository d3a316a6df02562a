import { writeFileSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { join } from 'node:path';
import { finishTarget } from '../../../main/work/finish-target.ts';

/** Makes a file as backups and reports are made, and says when it is done. */
const [folder, marksPath] = process.argv.slice(2);
if (folder === undefined || marksPath === undefined) throw new Error('Needs a folder and a file for marks');
await finishTarget(join(folder, 'made'), async (part) => {
  const file = await open(part, 'w');
  await file.write('whole '.repeat(2000));
  await file.sync();
  await file.close();
});
writeFileSync(marksPath, 'told');
