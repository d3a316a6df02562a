import { main } from './recompute-main.ts';

await main();
