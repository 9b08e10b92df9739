import { Menu, type MenuItemConstructorOptions } from 'electron';

/** Only what the platform expects: quit, text editing, zoom. The program itself is driven by its screens' keys. */
export function setMenu(): void {
  const items: MenuItemConstructorOptions[] = [
    process.platform === 'darwin' ? { role: 'appMenu' } : { label: 'File', submenu: [{ role: 'quit' }] },
    { role: 'editMenu' },
    {
      label: 'View',
      submenu: [
        { role: 'zoomIn' },
        { role: 'zoomOut' },
        { role: 'resetZoom' },
        { type: 'separator' },
        { role: 'togglefullscreen' },
      ],
    },
  ];
  Menu.setApplicationMenu(Menu.buildFromTemplate(items));
}
