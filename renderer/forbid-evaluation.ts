import { z } from 'zod';

// The content security policy forbids evaluating text as code, which zod would otherwise try for speed. This must run
// before any schema is made, so it is the first import of the page.
z.config({ jitless: true });
