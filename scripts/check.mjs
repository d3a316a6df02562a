import './require-node.mjs';
import { runChecks } from './check-parts.mjs';

const results = await runChecks();
process.exitCode = results.every((result) => result.isGood) ? 0 : 1;
