import { config } from 'zod';

// Imported before any schema is made: zod would otherwise compile its checks with `new Function`, which the
// content security policy forbids.
config({ jitless: true });
