import { type BrowserWindow, dialog, type OpenDialogOptions } from 'electron';
import type { ChooseFolder } from '../service/folder-handlers.ts';

/** The system's dialog over the program's window; a folder can be made in it. */
export const chooseFolderOver =
  (window: () => BrowserWindow | undefined): ChooseFolder =>
  async (from) => {
    const options: OpenDialogOptions = {
      properties: ['openDirectory', 'createDirectory', 'promptToCreate'],
      ...(from && { defaultPath: from }),
    };
    const over = window();
    const { filePaths } = await (over
      ? dialog.showOpenDialog(over, options)
      : dialog.showOpenDialog(options));
    return filePaths[0] ?? null;
  };
