import { z } from 'zod';
import { nothing, request } from './define.ts';

/** What is handed to those who mend the program: seen first, then written as it was seen. */
export const SUPPORT_REQUESTS = {
  'support.show': request(nothing, z.object({ text: z.string(), sha256: z.string() })),
  /** @param sha256 of the text that was shown; that very text is written into the folder */
  'support.write': request(
    z.object({
      folder: z.string().trim().min(1, 'Name a folder.').max(1000),
      sha256: z.string().regex(/^[0-9a-f]{64}$/, 'Look at what it contains first.'),
    }),
    z.object({ path: z.string() }),
  ),
} as const;
