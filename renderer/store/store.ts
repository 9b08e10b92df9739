import { createStore, type StoreApi } from 'zustand';
import { persist } from 'zustand/middleware';
import type { Client } from '../transport/client.ts';
import { type ConnectionSlice, connectionSlice } from './connection.ts';
import { type DisplaySlice, displaySlice } from './display.ts';
import { type GarageSlice, garageSlice } from './garage.ts';
import { type LiveSlice, liveSlice } from './live.ts';
import { type NoticeSlice, noticeSlice } from './notices.ts';
import { type RigSlice, rigSlice } from './rig.ts';

export type AppState = ConnectionSlice & LiveSlice & GarageSlice & DisplaySlice & NoticeSlice & RigSlice;
export type AppStore = StoreApi<AppState>;

/** The renderer's one store: contract messages go in, screens read. */
export function createAppStore(client: Client): AppStore {
  return createStore<AppState>()(
    persist(
      (...api) => ({
        ...connectionSlice(client)(...api),
        ...liveSlice(client)(...api),
        ...garageSlice(client)(...api),
        ...displaySlice(...api),
        ...noticeSlice(...api),
        ...rigSlice(...api),
      }),
      {
        name: 'rumblepath.screen',
        partialize: ({ theme, unit, orderRange, rig }) => ({ theme, unit, orderRange, rig }),
      },
    ),
  );
}
