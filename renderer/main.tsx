import './zod-without-eval.ts';
import 'modern-normalize/modern-normalize.css';
import '@fontsource/b612/latin-400.css';
import '@fontsource/b612/latin-700.css';
import 'uplot/dist/uPlot.min.css';
import './style/theme.css';
import './style/base.css';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './App.tsx';
import { ErrorBoundary } from './components/ErrorBoundary.tsx';
import { followLanguage, startI18n } from './i18n/start.ts';
import { returnToWork } from './return-to-work.ts';
import { AppStoreContext } from './store/context.ts';
import { createAppStore } from './store/store.ts';
import { createClient } from './transport/client.ts';
import { pickConnection } from './transport/pick.ts';

startI18n();
const connection = pickConnection();
const store = createAppStore(createClient(connection), localStorage);
returnToWork(store);
followLanguage(store);
store.getState().follow(connection);

// Charts measure and draw their words once: the typeface must be there before them.
await Promise.allSettled(['16px B612', 'bold 16px B612'].map((font) => document.fonts.load(font)));

createRoot(document.getElementById('root')!).render(
  <StrictMode>
    <ErrorBoundary>
      <AppStoreContext value={store}>
        <App />
      </AppStoreContext>
    </ErrorBoundary>
  </StrictMode>,
);
