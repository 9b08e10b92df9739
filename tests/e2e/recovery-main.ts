import { app, BrowserWindow } from 'electron';
import { runShell } from '../../electron/shell/run-shell.ts';
import { fakeApp } from './fake-app.ts';

/**
 * Crashes the screens once, hangs them once, and then prints the frames that the app had reached whenever the
 * screens (re)appeared, and the longest stretch in which the app did nothing.
 */
const service = fakeApp();
const appearedAtFrame: number[] = [];
let longestPause_ms = 0;
let emittedAt = performance.now();

service.subscribe(() => {
  longestPause_ms = Math.max(longestPause_ms, performance.now() - emittedAt);
  emittedAt = performance.now();
});

const contents = () => BrowserWindow.getAllWindows()[0]!.webContents;
const next = [
  () => contents().forcefullyCrashRenderer(),
  () => void contents().executeJavaScript('void setTimeout(() => { for (;;); })'),
  () => {
    console.log(JSON.stringify({ appearedAtFrame, longestPause_ms }));
    app.quit();
  },
];

runShell(async () => ({
  ...service,
  // The page asks once whenever it is loaded.
  handle: (name, input) => {
    appearedAtFrame.push(service.frame());
    setTimeout(next[appearedAtFrame.length - 1]!, 500);
    return service.handle(name, input);
  },
}));
