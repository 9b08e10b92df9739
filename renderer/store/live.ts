import type { LiveState, OpenLive, Orders } from '../../shared/contract/live.ts';
import type { RequestInput, RequestName } from '../../shared/contract/requests.ts';
import type { Client } from '../transport/client.ts';
import { createLevelFeed, type LevelFeed } from './level-feed.ts';
import type { Slice } from './slice.ts';

export interface LiveSlice {
  /** What the main side last said about the stream; null until it has spoken. */
  live: LiveState | null;
  orders: Orders | null;
  levels: LevelFeed;
  /** Clamps and leads were looked at again after the first metres with this source. */
  recheckDone: boolean;
  setLive(live: LiveState): void;
  refreshLive(): Promise<void>;
  /** Opens a source; what runs then, or null when it could not be opened (the reason is shown). */
  openLive(input: OpenLive): Promise<LiveState | null>;
  /** A short command whose effect comes back as an event; a refusal is shown as one sentence. */
  command<N extends RequestName>(name: N, input: RequestInput<N>): Promise<void>;
  confirmRecheck(): void;
}

export const liveSlice =
  (client: Client): Slice<LiveSlice> =>
  (set, get) => ({
    live: null,
    orders: null,
    levels: createLevelFeed(),
    recheckDone: false,
    setLive(live) {
      // Levels and orders are lists in the order of the channels: with other channels they would be misread.
      const same = JSON.stringify(live.channels) === JSON.stringify(get().live?.channels);
      if (live.source === null || !same) {
        get().levels.publish(null);
        set({ live, orders: null });
      } else set({ live: { ...live, channels: get().live!.channels } });
    },
    async refreshLive() {
      await client.call('live.state', null).then(get().setLive, get().fail);
    },
    async openLive(input) {
      try {
        await client.call('live.open', input);
        set({ orders: null, recheckDone: false });
        await get().refreshLive();
        return get().live;
      } catch (error) {
        get().fail(error);
        return null;
      }
    },
    async command(name, input) {
      await client.call(name, input).catch(get().fail);
    },
    confirmRecheck: () => set({ recheckDone: true }),
  });
