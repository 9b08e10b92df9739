import type { AppEvent, Reply } from '../../shared/contract/requests.ts';

/**
 * The main side of the program without any shell: the same object stands behind the Electron window, the
 * loopback host and the command line.
 */
export interface App {
  /** Validates the input, runs the request, validates the answer; never rejects. */
  handle(name: string, input: unknown): Promise<Reply>;
  /** Events for the screens; returns the unsubscriber. */
  subscribe(listener: (event: AppEvent) => void): () => void;
  /** Stops the stream, closes the recording and the database. */
  close(): Promise<void>;
}
