import { UNITS, type Unit } from '../../shared/contract/live.ts';
import type { Slice } from './slice.ts';

export type Theme = 'day' | 'night';

/** How this screen shows things; kept on this computer. */
export interface DisplaySlice {
  theme: Theme;
  unit: Unit;
  /** Orders drawn in the spectrum: the turning rates, or up to the gear meshes. */
  orderRange: 'turning' | 'all';
  flipTheme(): void;
  nextUnit(): void;
  flipOrderRange(): void;
}

/** Until the technician has chosen: what the computer is set to. */
const systemTheme = (): Theme =>
  globalThis.matchMedia?.('(prefers-color-scheme: dark)').matches ? 'night' : 'day';

export const displaySlice: Slice<DisplaySlice> = (set, get) => ({
  theme: systemTheme(),
  unit: 'm/s²',
  orderRange: 'all',
  flipTheme: () => set({ theme: get().theme === 'day' ? 'night' : 'day' }),
  nextUnit: () => set({ unit: UNITS[(UNITS.indexOf(get().unit) + 1) % UNITS.length]! }),
  flipOrderRange: () => set({ orderRange: get().orderRange === 'all' ? 'turning' : 'all' }),
});
