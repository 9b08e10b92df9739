import { runShell } from '../../electron/shell/run-shell.ts';
import { fakeApp } from './fake-app.ts';

const app = fakeApp();
Object.assign(globalThis, { fakeApp: app });
runShell(async () => app);
