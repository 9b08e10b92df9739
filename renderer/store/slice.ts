import type { StateCreator } from 'zustand';
import type { AppState } from './store.ts';

/** A part of the one store. */
export type Slice<T> = StateCreator<AppState, [], [], T>;
