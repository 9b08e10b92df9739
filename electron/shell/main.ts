import { openApp } from '../service/open-app.ts';
import { runShell } from './run-shell.ts';

runShell(openApp);
