import { z } from 'zod';
import { nothing, request } from './define.ts';

/** The system's own dialog for a folder. A page in a browser gets none that names a folder of the computer. */
export const FOLDER_REQUESTS = {
  'folders.canChoose': request(nothing, z.boolean()),
  /**
   * @param from where it opens; empty for the system's choice
   * @returns null when it was closed without a folder, or there is no dialog
   */
  'folders.choose': request(z.object({ from: z.string().max(1000) }), z.string().nullable()),
} as const;
