import type { ChildLink, ForkChild } from '../../native/portaudio/child-link.ts';
import type { FromChild, ToChild } from '../../native/portaudio/messages.ts';

/** A PortAudio child that does what the test tells it. */
export class FakeChild implements ChildLink {
  readonly sent: ToChild[] = [];
  killed = false;
  #onMessage: ((message: unknown) => void)[] = [];
  #onExit: ((reason: string) => void)[] = [];

  send(message: unknown): void {
    this.sent.push(message as ToChild);
  }
  onMessage(listener: (message: unknown) => void): void {
    this.#onMessage.push(listener);
  }
  onExit(listener: (reason: string) => void): void {
    this.#onExit.push(listener);
  }
  kill(): void {
    if (this.killed) return;
    this.killed = true;
    this.exits('ended by SIGKILL');
  }

  says(message: FromChild): void {
    for (const listener of this.#onMessage) listener(message);
  }
  exits(reason: string): void {
    for (const listener of this.#onExit.splice(0)) listener(reason);
  }
}

/** Forks fake children and keeps them, the newest last. */
export function fakeFork(): { forkChild: ForkChild; children: FakeChild[] } {
  const children: FakeChild[] = [];
  return {
    children,
    forkChild: () => {
      const child = new FakeChild();
      children.push(child);
      return child;
    },
  };
}
