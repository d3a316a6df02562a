import './require-node.mjs';
import { startProgram } from './start-program.mjs';

await startProgram(process.argv.slice(2));
