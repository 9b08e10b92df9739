import type { FOLDER_REQUESTS } from '../../shared/contract/folder-requests.ts';
import type { Handlers } from './dispatch.ts';

/** Asks for a folder; null when there was no answer. */
export type ChooseFolder = (from: string) => Promise<string | null>;

/** @param choose missing where there is no dialog, as on the loopback host */
export const folderHandlers = (
  choose: ChooseFolder | undefined,
): Pick<Handlers, keyof typeof FOLDER_REQUESTS> => ({
  'folders.canChoose': () => choose !== undefined,
  'folders.choose': async ({ from }) => (await choose?.(from)) ?? null,
});
