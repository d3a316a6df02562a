import './require-node.mjs';
import { buildStaleParts } from './build-parts.mjs';

await buildStaleParts((line) => {
  console.log(line);
});
