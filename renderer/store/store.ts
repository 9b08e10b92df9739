import { createStore, type StoreApi } from 'zustand';
import { createJSONStorage, persist, type StateStorage } from 'zustand/middleware';
import type { Client } from '../transport/client.ts';
import { type ConnectionSlice, connectionSlice } from './connection.ts';
import { type DisplaySlice, displaySlice } from './display.ts';
import { type FindingsSlice, findingsSlice } from './findings.ts';
import { type GarageSlice, garageSlice } from './garage.ts';
import { type LiveSlice, liveSlice } from './live.ts';
import { type NoticeSlice, noticeSlice } from './notices.ts';
import { type ReportSlice, reportSlice } from './report.ts';
import { type ReturningSlice, returningSlice } from './returning.ts';
import { type RigSlice, rigSlice } from './rig.ts';
import { type SpeedLinksSlice, speedLinksSlice } from './speed-links.ts';
import { type WorkSlice, workSlice } from './work.ts';

export type AppState = ConnectionSlice &
  LiveSlice &
  GarageSlice &
  FindingsSlice &
  ReturningSlice &
  WorkSlice &
  ReportSlice &
  DisplaySlice &
  NoticeSlice &
  RigSlice &
  SpeedLinksSlice;
export type AppStore = StoreApi<AppState>;

/** The store changes several times a second, what is kept hardly ever: only changes are written. */
function onlyChanges(storage: StateStorage<void>): StateStorage<void> {
  let written: string | null = null;
  return {
    getItem: (name) => storage.getItem(name),
    removeItem: (name) => storage.removeItem(name),
    setItem(name, value) {
      if (value === written) return;
      written = value;
      storage.setItem(name, value);
    },
  };
}

/**
 * The renderer's one store: contract messages go in, screens read.
 * @param storage keeps the display's settings and the rig on this computer
 */
export function createAppStore(client: Client, storage: StateStorage<void>): AppStore {
  return createStore<AppState>()(
    persist(
      (...api) => ({
        ...connectionSlice(client)(...api),
        ...liveSlice(client)(...api),
        ...garageSlice(client)(...api),
        ...findingsSlice(client)(...api),
        ...returningSlice(client)(...api),
        ...workSlice(client)(...api),
        ...reportSlice(client)(...api),
        ...displaySlice(...api),
        ...noticeSlice(...api),
        ...rigSlice(...api),
        ...speedLinksSlice(client)(...api),
      }),
      {
        name: 'rumblepath.screen',
        storage: createJSONStorage(() => onlyChanges(storage)),
        partialize: ({ theme, unit, orderRange, rig, linkChoices, spokenPrompts }) => ({
          theme,
          unit,
          orderRange,
          rig,
          linkChoices,
          spokenPrompts,
        }),
      },
    ),
  );
}
