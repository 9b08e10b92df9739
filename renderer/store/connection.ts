import type { AppEvent } from '../../shared/contract/requests.ts';
import type { Client } from '../transport/client.ts';
import type { Connection, ConnectionStatus } from '../transport/connection.ts';
import type { Slice } from './slice.ts';

export interface ConnectionSlice {
  connection: ConnectionStatus;
  /** Follows the connection and its events for as long as the page lives. */
  follow(connection: Connection): void;
  receive(event: AppEvent): void;
}

export const connectionSlice =
  (client: Client): Slice<ConnectionSlice> =>
  (set, get) => ({
    connection: 'connecting',
    follow(connection) {
      client.subscribe((event) => get().receive(event));
      connection.onStatus((status) => {
        set({ connection: status });
        if (status === 'open') void get().refreshLive();
      });
    },
    receive(event) {
      switch (event.name) {
        case 'live.state':
          return get().setLive(event.payload);
        case 'live.levels':
          if (event.payload.rms.length === get().live?.channels.length) get().levels.publish(event.payload);
          return;
        case 'live.orders':
          if (event.payload.lines.every((line) => line.rms.length === get().live?.channels.length))
            set({ orders: event.payload });
          return;
        case 'checks.state':
          return set({ check: event.payload });
        case 'checks.result': {
          const { work } = get();
          if (work && event.payload.visitId === work.visitId) void get().loadWork(work.visitId);
          return;
        }
        case 'road.progress':
          return set({ roadProgress: event.payload.following ? event.payload : null });
        case 'road.prompt':
          return set({ lastPrompt: event.payload });
        case 'findings.progress':
          return get().setAnalysis(event.payload);
        case 'runs.measured':
          return get().measured(event.payload);
        case 'notice':
          return get().notify(event.payload);
      }
    },
  });
