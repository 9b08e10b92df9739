import { createContext, useContext } from 'react';
import { useStore } from 'zustand';
import type { AppState, AppStore } from './store.ts';

export const AppStoreContext = createContext<AppStore | null>(null);

/** The part of the store's state that a component shows. */
export function useApp<T>(select: (state: AppState) => T): T {
  const store = useContext(AppStoreContext);
  if (!store) throw new Error('useApp is called outside AppStoreContext');
  return useStore(store, select);
}
