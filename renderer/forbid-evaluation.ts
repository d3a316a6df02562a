import { z } from 'zod';

// The content security policy forbids evaluating text as code, which zod would otherwise try for speed. This must run
// before any schema is made, so the build of a page puts it before zod (scripts/page-plugins.mjs).
z.config({ jitless: true });
