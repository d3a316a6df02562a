import './require-node.mjs';
import { outliveReader } from './outlive-reader.mjs';
import { startProgram } from './start-program.mjs';

outliveReader();
await startProgram(process.argv.slice(2));
