import type { Transport } from '../../shared/contract/requests.ts';

/** Whether the main side can be reached just now; `refused` when it does not know this page. */
export type ConnectionStatus = 'connecting' | 'open' | 'lost' | 'refused';

/** A transport that also tells whether it is up. */
export interface Connection extends Transport {
  /** Calls back at once with the present status, then at each change; returns the unsubscriber. */
  onStatus(listener: (status: ConnectionStatus) => void): () => void;
}
